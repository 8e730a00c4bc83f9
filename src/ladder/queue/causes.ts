import { KEEP_JOBS } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'spooler-down': {
    severity: 'fault',
    summary:
      'The print service that runs the queue {queue|on the computer or print server} does not answer, so no job leaves it for any printer.',
    technical:
      'The spooler’s port is refused, or taken without ever a reply, while its host is alive; a firewall on that host looks alike, and a frozen service still takes connections.',
    next: [
      {
        step: 'Ask whether any printer on that computer or server prints: if none does, it is the print service.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Start the print service again on that machine, then look whether it stays up.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'Check that its disk has free space: a full disk stops the print service.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If it stops again: move the waiting job files aside, start it, and add the jobs back one at a time.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.02,
    confirms: 'The service’s port refuses or stays mute on a host that answers otherwise.',
    rulesOut: 'The spooler answers any question.',
    looksAlike: ['spooler-crash-loop', 'queue-absent', 'own-network-down'],
  },
  'queue-absent': {
    severity: 'fault',
    summary:
      'The print queue {queue|that the computer uses} does not exist any more on {other|the print server}, so jobs sent to it are lost or refused.',
    technical:
      'The reply is client-error-not-found for the queue’s URI, from a spooler that answers; a renamed queue, or one hidden from this user, looks alike.',
    next: [
      {
        step: 'List the queues on the print server and look for a new name.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'On the computer, remove the old printer entry and add the printer again from the list.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Ask who looks after the print server whether the queue was removed on purpose.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.02,
    confirms: 'The spooler says that it has no such queue.',
    rulesOut: 'The queue answers with its attributes.',
    looksAlike: ['ipp-path-unknown', 'spooler-down', 'queue-points-elsewhere', 'name-unresolved'],
  },
  'queue-paused': {
    severity: 'fault',
    summary:
      'The print queue {queue|on the computer} {how|is paused}: jobs pile up there and none is sent until someone resumes it.',
    technical:
      'The spooler says printer-state stopped with the reason paused; a queue stops itself after a failed transfer too, so look for a printer fault that came first.',
    next: [
      {
        step: 'See whether the printer itself is ready: if not, clear that first, or the queue will stop again.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Open the print queue on the computer or print server and choose resume; look at "use printer offline" there, and at "SNMP status" in the settings of its port, which counts a printer that gives no answer as offline.',
        minutes: 1,
        cautions: [],
      },
      {
        step: 'Say to the person: "Do not print again, your jobs are all there." Delete doubles before they come out.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it stops itself again and again: set the queue to try again after an error rather than to stop.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.08,
    confirms: 'The spooler says stopped and paused.',
    rulesOut: 'The queue is idle or processing.',
    looksAlike: ['paused', 'offline', 'head-job-stuck', 'queue-rejecting', 'job-held'],
  },
  'queue-rejecting': {
    severity: 'fault',
    summary: 'The print queue {queue|on the computer} takes no new jobs: someone has closed it.',
    technical:
      'The spooler says printer-is-accepting-jobs false, often while its state is idle; a page limit or rights for one user show only for that user.',
    next: [
      {
        step: 'Ask whether the queue was closed on purpose, for a move or an exchange, and which printer to use instead.',
        minutes: 2,
        cautions: [],
      },
      { step: 'Set the queue to accept jobs again on the print server.', minutes: 2, cautions: [] },
      { step: 'Have the person print again: refused jobs were not kept.', minutes: 1, cautions: [] },
    ],
    prior: 0.01,
    confirms: 'The spooler says that it is not accepting jobs for this queue.',
    rulesOut: 'A new job is accepted.',
    looksAlike: ['not-accepting-jobs', 'queue-paused', 'user-refused', 'account-limit-reached'],
  },
  'queue-points-elsewhere': {
    severity: 'fault',
    summary:
      'The print queue {queue|on the computer} sends its jobs to {other|another address}; the printer is at {expected|another one}.',
    technical:
      'The queue’s device URI leads to an address or name that is not the printer’s; a class, a load balancer or a second interface of the same printer looks alike.',
    next: [
      {
        step: 'Look for the missing pages at the other printers nearby: they may lie there.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Set the queue’s port to the printer’s name or present address, and print one page.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'Compare the other queues on the same server, which may hold the same old address.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.03,
    confirms: 'The device URI resolves to something that is not the printer.',
    rulesOut: 'The device URI leads to the printer’s own identity.',
    looksAlike: ['moved', 'another-device-here', 'name-points-elsewhere', 'queue-absent'],
  },
  'head-job-stuck': {
    severity: 'fault',
    summary:
      'The first job ({job|number unknown}) in the print queue {queue|on the computer} has hung for {since|a long time}, and everything behind it waits.',
    technical:
      'The head job has been processing far longer than its size explains and the others are pending; a printer that waits for paper or holds a raw connection makes any job hang.',
    next: [
      {
        step: 'Look at the printer: if it wants paper, a cover or a button, clear that, and the job goes on.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Ask the owner of the first job, then cancel that one job and see whether the next one prints.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If it does not go away: stop the print service, start it again, and cancel the job before it begins.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'If the next job hangs too: the job is not to blame; check where the queue points, and whether the printer takes data at all.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.035,
    confirms: 'The head job makes no progress in two readings, on a printer that is ready.',
    rulesOut: 'Its sheet or byte count grows, or the printer itself is stopped.',
    looksAlike: ['poison-job', 'raw-port-busy', 'job-waits-for-media', 'queue-paused'],
  },
  'spooler-crash-loop': {
    severity: 'fault',
    summary:
      'The print service on {other|the computer or print server} has crashed {times|again and again}, and what was in progress starts over each time; suspected: {suspect|nobody yet, chance explains it as well}.',
    technical:
      'Repeated abnormal ends in the event record, or a spooler whose up-time keeps falling; waiting jobs start again after each restart, so one corrupt job or one driver in the service’s process is enough.',
    next: [
      {
        step: 'Stop the print service, set the suspected job alone aside (move its files to another folder), and start it again; with no suspect, all waiting job files.',
        minutes: 5,
        cautions: [KEEP_JOBS],
      },
      {
        step: 'If it stays up: put what was set aside back one job at a time, the suspected one last; tell its owner to make the document anew.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'If it still falls: remove the printer driver installed or changed last, or set drivers to run in a process of their own.',
        minutes: 15,
        cautions: [],
      },
      { step: 'Check that the disk of that machine is neither full nor damaged.', minutes: 5, cautions: [] },
    ],
    prior: 0.01,
    confirms: 'Several crashes close together, most of them with one job or driver at work.',
    rulesOut: 'The service has been up since before the trouble began.',
    looksAlike: ['spooler-down', 'poison-job', 'driver-wrong-architecture', 'filter-failed'],
  },
  'driver-wrong-architecture': {
    severity: 'fault',
    summary:
      'The printer driver {driver|on offer} is made for another kind of computer ({expected|not this one}), and this one is {other|another}: it cannot use it.',
    technical:
      'The driver’s architecture differs from the system’s, or the server has no driver for this client’s; a driver that is absent altogether gives nearly the same message.',
    next: [
      {
        step: 'Add the printer on this computer with the system’s own driverless printing, if the printer offers it.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Install the driver for this computer’s architecture from the maker, and choose it for the queue.',
        minutes: 10,
        cautions: [],
      },
      { step: 'Have the driver for this architecture added on the print server too.', minutes: 15, cautions: [] },
    ],
    prior: 0.005,
    confirms: 'Both architectures are known and differ.',
    rulesOut: 'The same computer prints through another queue with the same driver.',
    looksAlike: ['driver-missing', 'driver-rights', 'spooler-crash-loop'],
  },
  'driver-missing': {
    severity: 'fault',
    summary:
      'The print queue {queue|on the computer} lacks its printer driver or a part of it ({driver|the one named there}: {how|not there}), so jobs cannot be prepared for the printer.',
    technical:
      'State reason cups-missing-filter-warning, or a driver file that is named and not there; an update that removed it, or a wrong path, looks alike.',
    next: [
      {
        step: 'Remove the printer from the computer and add it again, with driverless printing if it offers that.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Install the driver package for this model and choose it for the queue.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'Send the waiting jobs again; those already failed do not come back by themselves.',
        minutes: 2,
        cautions: [],
      },
    ],
    prior: 0.01,
    confirms: 'The spooler names a driver or filter that is missing.',
    rulesOut: 'Another job passes through the same queue.',
    looksAlike: ['filter-failed', 'driver-wrong-architecture', 'driver-rights', 'format-unsupported'],
  },
  'driver-rights': {
    severity: 'fault',
    summary:
      'The printer driver {driver|of this printer} could not be installed for lack of rights ({how|not everybody may}), so the printer cannot be set up there.',
    technical:
      'The installation is refused for lack of rights or by a policy on driver installation; a person with administrator rights succeeds on the same computer.',
    next: [
      {
        step: 'Ask whether the printer ever worked on this computer: if it stopped after an update, the driver wants approval anew.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Have an administrator install the driver on this computer, or hand it out from the server.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'Where the printer offers driverless printing: add it that way, which needs no extra rights on most systems.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The refusal names rights or policy, and an administrator can install it.',
    rulesOut: 'The driver is installed and another user of this computer cannot print either.',
    looksAlike: ['driver-missing', 'driver-wrong-architecture', 'user-refused'],
  },
} as const satisfies Readonly<Record<string, Cause>>;
