import { LAYERS, type LayerId } from '../model/layers.js';
import { checkOf, type Route } from '../model/testpage.js';
import type { Asked } from './fact.js';
import type { OperatorFact } from './operator.js';
import { freshPages } from './test-pages.js';

/**
 * A page that was sent to see what still works. `seen`: a person has it in hand. `told`: the printer says that it is out.
 * `taken`: it was taken, and nobody knows more.
 */
export interface PageProof {
  readonly by: 'seen' | 'told' | 'taken';
  /** Layers that such a page shows to work. */
  readonly layers: readonly LayerId[];
  /** It went from this machine straight to the printer: what looked shut from here is open. */
  readonly straight: boolean;
  readonly evidence: readonly string[];
}

const upTo = (last: LayerId): readonly LayerId[] => LAYERS.slice(0, LAYERS.indexOf(last) + 1);
/** What the machine itself needs for any page, whoever sends it. */
const MACHINE: readonly LayerId[] = ['power', 'device', 'media', 'supplies'];
const NETWORK: readonly LayerId[] = ['power', 'link', 'address', 'port', 'protocol', 'access'];

/** What a page in hand shows to work, by the check that it answers. */
const SEEN: Readonly<Record<string, readonly LayerId[]>> = {
  'panel-own-page': MACHINE,
  'usb-print': MACHINE,
  'page-straight-to-address': upTo('language'),
  'queue-test-page': upTo('job'),
  'other-application': upTo('job'),
  // Another computer may have another driver and another queue.
  'other-user-same-queue': [...NETWORK, 'device', 'media', 'supplies'],
};

/** What is shown when the way took the page. Who sits at the address, and whether paper moved, is another matter. */
const TAKEN: Readonly<Record<Route, readonly LayerId[]>> = {
  ipp: ['power', 'link', 'port', 'protocol', 'access'],
  raw: ['power', 'link', 'port'],
  lpd: ['power', 'link', 'port', 'protocol'],
  queue: [],
};

/** What the printer vouches for when it calls the job completed (RFC 8011 5.3.7). A spooler knows only that it sent it on. */
const TOLD: Readonly<Record<Route, readonly LayerId[]>> = {
  ipp: [...TAKEN.ipp, 'device', 'media', 'supplies', 'language'],
  raw: TAKEN.raw,
  lpd: TAKEN.lpd,
  queue: ['queue'],
};

/** What pages that were sent, and what a person saw of them, show to work. */
export function readPageProofs(
  asked: Pick<Asked, 'evidence' | 'askedAt'>,
  operator: OperatorFact | undefined,
): readonly PageProof[] {
  const answers = operator ?? [];
  const seen = answers.flatMap(({ check, outcome, id }): PageProof[] => {
    const layers = Object.hasOwn(SEEN, check) && outcome === 'yes' ? SEEN[check] : undefined;
    return layers === undefined
      ? []
      : [{ by: 'seen', layers, straight: check === 'page-straight-to-address', evidence: [id] }];
  });
  const sent = freshPages(asked).flatMap(({ id, page }): PageProof[] => {
    const denied = answers.some(({ check, outcome }) => check === checkOf(page.via) && outcome === 'no');
    if (!page.taken) return [];
    const told = page.jobState === 'completed' && !denied;
    return [
      {
        by: told ? 'told' : 'taken',
        layers: (told ? TOLD : TAKEN)[page.via],
        straight: page.via !== 'queue',
        evidence: [id],
      },
    ];
  });
  return [...seen, ...sent];
}
