import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'ipp-garbled': {
    severity: 'fault',
    summary:
      'The print service of the printer answers with data that makes no sense, so computers cannot print that way until it is restarted or updated.',
    asWarning:
      'One print service of the printer answers with data that makes no sense, but the print queues use another way in.',
    technical:
      'A reply came on the IPP path and it breaks the encoding of RFC 8010; a web page sent by a proxy or by another device on that port looks alike.',
    next: [
      {
        step: 'Say to the person at the printer: "Switch it off, wait 30 seconds, switch it on." Then ask again.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Check that no proxy or inspecting firewall stands between this computer and the printer.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Until it is mended, let the queue print over another protocol that the printer offers.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Ask the maker or the service partner for newer firmware, and have it installed when nobody prints.',
        minutes: 20,
        cautions: [],
      },
    ],
    prior: 0.003,
    confirms: 'The same broken reply twice, with the place where it breaks the standard.',
    rulesOut: 'A reply that decodes, even with small deviations.',
    looksAlike: ['http-error', 'another-device-here', 'link-errors', 'ipp-path-unknown'],
  },
  'ipp-silent': {
    severity: 'fault',
    summary:
      'The print service of the printer takes the call and then says nothing or hangs up, so jobs sent that way do not come through.',
    asWarning:
      'One print service of the printer takes calls and says nothing or hangs up, but the print queues use another way in.',
    technical:
      'The port opens and the IPP request gets no reply in the time allowed, or the connection is cut off; a printer busy with one job, just waking, with a list of permitted addresses that leaves this computer out, or closed in by an inspecting firewall looks alike.',
    next: [
      { step: 'Wait two minutes and ask again: it may be waking, or busy with a long job.', minutes: 2, cautions: [] },
      {
        step: 'Say to the person at the printer: "Switch it off, wait 30 seconds, switch it on." Then ask again.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Until it is mended, let the queue print over another protocol that the printer offers.',
        minutes: 5,
        cautions: [],
      },
      { step: 'If it hangs again within days: have newer firmware installed.', minutes: 20, cautions: [] },
    ],
    prior: 0.004,
    confirms: 'Two requests some minutes apart without a reply on a port that opens.',
    rulesOut: 'Any IPP reply.',
    looksAlike: ['asleep', 'print-ports-filtered', 'raw-port-busy', 'ipp-garbled'],
  },
  'ipp-path-unknown': {
    severity: 'fault',
    summary:
      'The printer does not know the print path {uri|that the computers use}, so it turns away every job sent there.',
    asWarning:
      'The printer does not know the print path {uri|that was asked}, but the print queues use another way in.',
    technical:
      'HTTP 404 or client-error-not-found for the path while the service itself answers; a queue deleted on a print server answers in the same way.',
    next: [
      {
        step: 'Take the path that the printer announces itself, or try /ipp/print, and set the queue to it.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Check that the address in the queue belongs to the printer and not to a print server whose queue was renamed.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Remove the queue on the computer and add the printer again by search, so that it finds the path by itself.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.004,
    confirms: 'Another path on the same printer answers successful-ok.',
    rulesOut: 'The path in the queue answers with printer attributes.',
    looksAlike: ['queue-absent', 'http-error', 'another-device-here'],
  },
  'ipp-version-refused': {
    severity: 'fault',
    summary:
      'The printer and the computer have no version of the print protocol in common, so the printer refuses every job.',
    asWarning:
      'The printer does not speak the versions of the print protocol that were tried, but the print queues use another way in.',
    technical:
      'The reply is server-error-version-not-supported to each version tried; a printer that answers so to a broken request only shows it with one client.',
    next: [
      {
        step: 'Remove the queue and add the printer again, so that both agree on a version anew.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Set the queue to the older version 1.1 if the system lets you, or to another protocol that the printer offers.',
        minutes: 5,
        cautions: [],
      },
      { step: 'Have newer firmware installed on the printer.', minutes: 20, cautions: [] },
    ],
    prior: 0.003,
    confirms: 'The status server-error-version-not-supported for versions 2.0 and 1.1.',
    rulesOut: 'The reply successful-ok for any version that the computers use.',
    looksAlike: ['ipp-garbled', 'http-error'],
  },
  'tls-failed': {
    severity: 'fault',
    summary:
      'The computer and the printer cannot agree on an encrypted connection, so nothing sent over the secure path arrives.',
    asWarning: 'No encrypted connection to the printer comes about, but the print queues use another way in.',
    technical:
      'The TLS handshake ends with an alert or a reset on a port that opens; old protocol versions, a small key, or a printer clock far off look alike.',
    next: [
      {
        step: 'If the printer says "upgrade required" (HTTP 426), set the queue to the encrypted path (ipps); if not, check date and time on the printer and on the computer.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Restart the printer, and let it make a new certificate in its security settings.',
        minutes: 6,
        cautions: [],
      },
      {
        step: 'Compare the protocol versions allowed on both sides; if the printer knows old ones only, have its firmware updated.',
        minutes: 20,
        cautions: [],
      },
      {
        step: 'Until then, and only if the rules of the house allow it, print over the unencrypted path.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.005,
    confirms: 'The port opens and the handshake fails, twice, with the error that it names.',
    rulesOut: 'A session comes about, whatever its certificate says.',
    looksAlike: ['certificate-expired', 'ipp-garbled', 'print-ports-filtered'],
  },
  'certificate-expired': {
    severity: 'warning',
    summary:
      'The security certificate of the printer ran out on {since|a past date}: printing goes on, but some computers may warn or refuse.',
    technical:
      'The certificate’s end (validTo) lies before the time of asking; a wrong clock on either side looks alike, and a self-signed certificate is no fault here.',
    next: [
      { step: 'Check date and time on the printer and on this computer.', minutes: 2, cautions: [] },
      {
        step: 'Let the printer make a new certificate in its security settings, or install one from the house’s own authority.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'The certificate’s end lies in the past by a trustworthy clock.',
    rulesOut: 'The certificate is still in its time.',
    looksAlike: ['tls-failed'],
  },
  'snmp-silent': {
    severity: 'warning',
    summary:
      'The printer does not answer status questions over SNMP: printing goes on, but paper, toner and errors cannot be read that way.',
    technical:
      'No reply on 161/udp to any version tried while other services answer; a wrong community name is met with the same silence, and so is a filter.',
    next: [
      {
        step: 'Check the community name or the user set here against the one in the printer’s settings.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Switch SNMP on in the printer’s settings, reading only, and let the firewall pass 161/udp from this computer.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'Silence to SNMP in all versions tried, with a port or IPP answering.',
    rulesOut: 'Any SNMP reply, an error reply included.',
    looksAlike: ['snmp-credentials-refused', 'asleep', 'print-ports-filtered'],
  },
  'snmp-garbled': {
    severity: 'warning',
    summary:
      'The status answers of the printer over SNMP break their standard: printing goes on, but what it says of paper and toner may be wrong.',
    technical:
      'Replies do not decode, repeat, or contradict each other beyond the known deviations; an agent that cuts large replies looks alike.',
    next: [
      {
        step: 'Compare with the display: believe the display where the two differ.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Restart the printer; if it goes on, have newer firmware installed.',
        minutes: 20,
        cautions: [],
      },
    ],
    prior: 0,
    confirms: 'The same object is broken in two readings.',
    rulesOut: 'Readings that decode and agree.',
    looksAlike: ['snmp-silent', 'link-errors'],
  },
  'http-error': {
    severity: 'fault',
    summary: 'The print service of the printer answers with an error ({code|without a number}) instead of taking jobs.',
    asWarning:
      'One print service of the printer answers with an error ({code|without a number}), but the print queues use another way in.',
    technical:
      'An HTTP status of 400 or above, other than a sign-in or an unknown path, on the print path; a proxy in between sends such pages too.',
    next: [
      {
        step: 'Wait two minutes and ask again: a printer that has just started answers like this.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Say to the person at the printer: "Switch it off, wait 30 seconds, switch it on."',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Check that no proxy stands between, and that this address belongs to the printer.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.003,
    confirms: 'The same error status twice from the printer itself.',
    rulesOut: 'HTTP 200 with an IPP reply.',
    looksAlike: ['ipp-path-unknown', 'ipp-garbled', 'starting-up', 'sign-in-needed'],
  },
} as const satisfies Readonly<Record<string, Cause>>;
