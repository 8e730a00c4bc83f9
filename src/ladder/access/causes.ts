import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'sign-in-needed': {
    severity: 'fault',
    summary: 'The printer or its print queue wants a name and password, a code or a card first, and none was given.',
    technical:
      'HTTP 401, client-error-not-authenticated or an auth-info-required value other than none; a print server with a sign-in on its whole path answers every question so.',
    next: [
      {
        step: 'Say to the person: "Does the computer or the display ask for a name, a code or a card? Enter it and print again."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'On the computer, open the queue’s settings and store the right name and password, or remove an old one.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Ask those who run the printer whether the sign-in was switched on lately, and for whom.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The printer asks for a sign-in, and takes the same job with one.',
    rulesOut: 'A job without sign-in is taken and printed.',
    looksAlike: ['job-needs-sign-in', 'user-refused', 'account-limit-reached'],
  },
  'user-refused': {
    severity: 'fault',
    summary:
      'The printer or its print queue takes no jobs from {user|this user}: {right|the account lacks the right to print there}.',
    technical:
      'The reply is client-error-forbidden or client-error-not-authorized for this user while another is accepted; some spoolers pass Validate-Job and refuse only the real job.',
    next: [
      {
        step: 'Say to the person: "Under which name are you signed in?" A wrong or shared account is the usual reason.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Let a colleague print to the same printer: if that works, it is the right to print and not the printer.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Have the person added to those who may print, or taken off the list of those refused, on the print server and in the printer’s own list.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'Refused for this user and accepted for another, on the same path.',
    rulesOut: 'A job of this user is taken.',
    looksAlike: ['account-limit-reached', 'sign-in-needed', 'queue-rejecting', 'driver-rights'],
  },
  'snmp-credentials-refused': {
    severity: 'warning',
    summary:
      'The printer refuses the name or key used to read its status: printing goes on, but paper and toner cannot be read that way.',
    technical:
      'An SNMPv3 report (unknown user, wrong digest, decryption error, unsupported level) or an authorization error came back, or every community name met silence from an agent that does tell its engine; a clock or engine restart shows once and then heals.',
    next: [
      {
        step: 'Compare community name, or user name, level, and both algorithms set here with the printer’s settings; then enter the keys anew.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'If nobody knows the keys: have a new user for reading only made on the printer.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0,
    confirms:
      'A report that names the user, the digest or the level as wrong, or an engine told where community names meet silence.',
    rulesOut: 'Any value read with these credentials.',
    looksAlike: ['snmp-silent', 'snmp-garbled'],
  },
  'account-limit-reached': {
    severity: 'fault',
    summary:
      'The page allowance of {user|this user} is used up, so no more jobs are taken from that account until it is raised.',
    technical:
      'The reply is client-error-account-limit-reached, or the job’s reasons hold account-limit-reached; a refusal without a reason, where pages are counted, looks alike.',
    next: [
      {
        step: 'Say to the person: "Your print allowance is used up." A colleague with allowance left can print the urgent page.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Ask those who keep the accounts to raise the allowance or charge it up, then release or send the job again.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The account limit is named in the status or among the job’s reasons.',
    rulesOut: 'Another job of the same account is taken.',
    looksAlike: ['user-refused', 'queue-rejecting', 'job-held'],
  },
} as const satisfies Readonly<Record<string, Cause>>;
