import { HEAVY } from '../cautions.js';
import type { Cause } from '../layer.js';

// Relative frequencies (`prior`): common practice, no published source.

export const causes = {
  'job-held': {
    severity: 'fault',
    summary:
      'The job ({job|number unknown}) has been on hold for {since|some time}, and stays so {how|until someone releases it or its time comes}.',
    asWarning:
      'The job ({job|number unknown}) has been on hold for {since|some time}, {meanwhile|while others pass it}.',
    technical:
      'The job-state is pending-held with job-hold-until-specified; a job held for a sign-in or for resources shows other reasons, and a queue that holds all new jobs holds them one by one.',
    next: [
      {
        step: 'Say to the person: "Did you choose secure, stored or delayed printing? Then release the job at the display with your code or card."',
        minutes: 2,
        cautions: [],
      },
      { step: 'Open the print queue, choose the job and release it.', minutes: 1, cautions: [] },
      {
        step: 'If every new job is held: switch holding off in the queue’s settings and in the driver’s defaults.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.025,
    confirms: 'The job’s state is held and a hold time or hold order is given.',
    rulesOut: 'The job is pending, processing or done.',
    looksAlike: ['job-needs-sign-in', 'queue-paused', 'job-waits-for-media'],
  },
  'job-needs-sign-in': {
    severity: 'fault',
    summary: 'The job ({job|number unknown}) waits for {wants|a name and password} before it can go on.',
    technical:
      'The job-state is pending-held with cups-held-for-authentication, or job-hold-until is auth-info-required: the way behind the queue wants the sign-in, not the queue itself; with job-password-wait the printer wants the code that was given with the job.',
    next: [
      {
        step: 'Say to the person: "Does the printer itself list your job and ask for a code? Enter it there. If not, open the print queue on your computer: does the job ask for a name and password? Enter them."',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If the password was changed lately: delete the stored one for this printer, and enter the new one.',
        minutes: 4,
        cautions: [],
      },
      {
        step: 'If no window for it appears: have those who look after the print server store the sign-in with the queue.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.012,
    confirms: 'The job’s reasons name authentication.',
    rulesOut: 'Other jobs of the same user pass through this queue.',
    looksAlike: ['sign-in-needed', 'job-held', 'user-refused'],
  },
  'job-aborted': {
    severity: 'fault',
    summary:
      'The job ({job|number unknown}) was given up by the print service or the printer and will not come out; it must be sent again.',
    technical:
      'The job-state is aborted with job-aborted-by-system, found among the finished jobs only; a job cancelled by its user or by a time limit looks alike to the person who waits.',
    next: [
      {
        step: 'Check that the printer is ready, and send the same document once more.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'If it is given up again: print another document, to see whether it is this document or every job.',
        minutes: 2,
        cautions: [],
      },
      {
        step: 'Read the print service’s record for this job’s number: it names the reason.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.018,
    confirms: 'The job is listed as aborted.',
    rulesOut: 'The job is completed, waiting or processing.',
    looksAlike: ['filter-failed', 'format-unsupported', 'poison-job', 'account-limit-reached'],
  },
  'poison-job': {
    severity: 'fault',
    summary:
      'One job ({suspect|number unknown}) was in progress at {times|each of the} crashes of the printer or the print service, and so blocks all others.',
    technical:
      'Restarts, crashes or errors follow the start of the same job and stay away without it; compare with chance before blaming a job that merely was there.',
    next: [
      {
        step: 'Hold or delete that one job, restart the printer, and see whether the other jobs come out.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Say to its owner: "Please do not print that document again for now." Save it as PDF anew, and print it in parts later.',
        minutes: 5,
        cautions: [],
      },
      {
        step: 'Try it with another driver or on another printer; keep a copy of the file for those who mend drivers.',
        minutes: 10,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The trouble returns with the job and goes away without it.',
    rulesOut: 'The trouble goes on after the job is removed.',
    looksAlike: ['keeps-restarting', 'spooler-crash-loop', 'head-job-stuck', 'page-too-complex'],
  },
  'job-waits-for-media': {
    severity: 'fault',
    summary:
      'The job ({job|number unknown}) waits for {expected|a paper} that is not loaded, and the jobs behind it wait too.',
    technical:
      'The waiting job asks for a size, type or tray that is empty or absent while another tray would serve; to the other jobs the printer looks well.',
    next: [
      {
        step: 'Say to the person at the printer: "Load the paper that the display asks for, or press go on to use another tray."',
        minutes: 2,
        cautions: [HEAVY],
      },
      {
        step: 'If the job should not need that paper: cancel it, and print it again with paper size and source set to automatic.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If it happens daily: set the document template or the driver’s default to the paper that is loaded.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.015,
    confirms: 'The job’s media or tray is known, and no loaded tray meets it.',
    rulesOut: 'A tray with that paper is loaded, or jobs with other paper wait as well without a job in front.',
    looksAlike: ['media-empty', 'media-needed', 'head-job-stuck', 'job-held'],
  },
  'filter-failed': {
    severity: 'fault',
    summary:
      'The computer or print server could not turn the job ({job|number unknown}) into the printer’s language, so nothing was sent.',
    technical:
      'The job-state is processing-stopped with cups-filter-crashed or job-completed-with-errors, and the filter’s message beside it; a missing driver part, a full disk or a damaged document all end here.',
    next: [
      {
        step: 'Print another document through the same queue: if that works, the first document is damaged; save it as PDF anew.',
        minutes: 3,
        cautions: [],
      },
      {
        step: 'If every document fails: remove the printer and add it again with the right or a newer driver.',
        minutes: 10,
        cautions: [],
      },
      {
        step: 'Check the free disk space of the machine that prepares the jobs, and read its print record.',
        minutes: 5,
        cautions: [],
      },
    ],
    prior: 0.01,
    confirms: 'The spooler names a failed or crashed filter for this job.',
    rulesOut: 'The job’s data reached the printer.',
    looksAlike: ['driver-missing', 'job-aborted', 'format-unsupported', 'language-mismatch'],
  },
} as const satisfies Readonly<Record<string, Cause>>;
