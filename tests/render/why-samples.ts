import type { Evidence } from '../../src/model/evidence.js';
import { LAYERS, type LayerId, type LayerState } from '../../src/model/layers.js';
import type { LayerEntry, Verdict, WhyDocument } from '../../src/model/why.js';

const AT = '2026-01-31T09:00:00.000Z';

/** Evidence of a printer with an empty tray: one record of most sources. */
export const SAMPLE_EVIDENCE: readonly Evidence[] = [
  record('e1', 'neighbour', 'entry', {
    kind: 'entry',
    state: 'reachable',
    mac: '02:00:00:00:00:21',
    interface: 'eth0',
  }),
  record('e2', 'tcp', '631/tcp', 'open'),
  { ...record('e3', 'tcp', '515/tcp', 'ECONNREFUSED'), outcome: 'refused' },
  record('e4', 'snmp', 'prtAlertTable', {
    kind: 'table',
    rows: {
      '1.3': { prtAlertSeverityLevel: 3, prtAlertCode: 13, prtAlertDescription: 'Tray 2 empty', prtAlertGroup: 8 },
    },
    problems: [],
  }),
  record('e5', 'ipp', 'Get-Printer-Attributes', {
    uri: 'ipp://192.0.2.21/ipp/print',
    httpStatus: 200,
    version: '2.0',
    status: 'successful-ok',
    attributes: {
      'printer-state': [{ tag: 'enum', value: 5 }],
      'printer-state-reasons': [{ tag: 'keyword', value: 'media-empty-error' }],
      'printer-is-accepting-jobs': [{ tag: 'boolean', value: true }],
    },
    problems: [],
  }),
];

/** One record with the fields that don't matter here filled in. */
export function record<S extends Evidence['source']>(
  id: string,
  source: S,
  what: string,
  value: Extract<Evidence, { source: S }>['value'],
): Extract<Evidence, { source: S }> {
  const base = {
    id,
    source,
    what,
    about: 'target',
    subject: '192.0.2.21',
    outcome: 'answered',
    value,
    at: AT,
    tookMs: 3,
  };
  return base as unknown as Extract<Evidence, { source: S }>;
}

/** All layers below the given one clear, the given one in a state, the rest not reached. */
export function layersUpTo(layer: LayerId, state: LayerState, cause: string, summary: string): LayerEntry[] {
  const at = LAYERS.indexOf(layer);
  return LAYERS.map((id, index): LayerEntry => {
    if (index < at) return { layer: id, state: 'clear', summary: `${id} is well.`, evidence: ['e1', 'e2'] };
    if (index > at)
      return { layer: id, state: 'not-reached', summary: 'Hidden by a fault further down.', evidence: [] };
    return { layer: id, state, cause, component: 'Tray 2', summary, evidence: ['e4', 'e5'] };
  });
}

export function sampleWhy(over: Partial<WhyDocument> = {}): WhyDocument {
  const verdict: Verdict = {
    layer: 'media',
    cause: 'media-empty',
    certainty: 'sure',
    component: 'Tray 2',
    summary: 'Tray 2 is empty, and no other tray can take its place.',
    next: [
      {
        step: 'Fan a stack of the paper the tray is set to, put it in below the limit mark, and close the tray until it clicks.',
        minutes: 2,
        cautions: ['Keep fingers clear of the lifting plate while the tray closes.'],
      },
    ],
  };
  return {
    schema: 'outfeed.why/1',
    target: 'front-desk',
    printer: { name: 'front-desk', address: '192.0.2.21', model: 'Model 21', serial: 'SN-0021' },
    askedAt: AT,
    tookMs: 812,
    silent: true,
    verdict,
    others: [],
    warnings: [],
    suspects: [],
    checks: [],
    layers: layersUpTo('media', 'fault', 'media-empty', verdict.summary),
    evidence: SAMPLE_EVIDENCE,
    ...over,
  };
}

/** A printer that answers nothing: two suspects, and a question to ask. */
export function unsureWhy(): WhyDocument {
  return sampleWhy({
    target: 'back-office',
    silent: true,
    printer: { name: 'back-office', address: '192.0.2.40', model: null, serial: null },
    verdict: {
      layer: 'power',
      cause: 'no-sign-of-life',
      certainty: 'likely',
      summary:
        'Nothing answers at 192.0.2.40 at any level, while its neighbours do: it has no power or no network cable.',
      next: [
        {
          step: 'Look whether the panel is lit; if not, check the mains plug and the switch.',
          minutes: 1,
          cautions: [],
        },
      ],
    },
    layers: layersUpTo('power', 'fault', 'no-sign-of-life', 'Nothing answers.').map((entry) =>
      entry.layer === 'power'
        ? { layer: 'power', state: 'fault', cause: 'no-sign-of-life', summary: 'Nothing answers.', evidence: ['e1'] }
        : entry,
    ),
    others: [
      {
        layer: 'queue',
        cause: 'queue-paused',
        certainty: 'sure',
        component: 'back-office',
        summary: 'The print queue back-office is paused as well.',
      },
    ],
    warnings: [
      {
        layer: 'supplies',
        cause: 'supply-low',
        certainty: 'sure',
        component: 'black toner',
        summary: 'Black toner is low.',
      },
    ],
    suspects: [
      { layer: 'power', cause: 'powered-off', probability: 0.62 },
      { layer: 'link', cause: 'no-carrier', probability: 0.374 },
      { layer: 'address', cause: 'moved', probability: 0.006 },
    ],
    checks: [
      {
        id: 'panel-lit',
        ask: 'Is the panel lit, or does any lamp on the printer shine?',
        minutes: 1,
        bits: 0.9,
        sheets: 0,
        outcomes: ['lit', 'dark'],
      },
      {
        id: 'panel-page',
        ask: 'Does the printer print its own test page?',
        minutes: 3,
        bits: 0.4,
        sheets: 1,
        outcomes: ['yes', 'no'],
      },
    ],
  });
}

/** Nothing wrong: all layers clear but the ones nobody could ask. */
export function wellWhy(): WhyDocument {
  return sampleWhy({
    silent: false,
    verdict: {
      layer: 'application',
      cause: 'nothing-wrong-found',
      certainty: 'likely',
      summary: 'Nothing wrong was found between here and the paper.',
      next: [{ step: 'Print the test page from another program or another computer.', minutes: 3, cautions: [] }],
    },
    layers: LAYERS.map((layer): LayerEntry => {
      const unknown = layer === 'access' || layer === 'queue' || layer === 'job';
      const warning = layer === 'supplies';
      if (warning) {
        return {
          layer,
          state: 'warning',
          cause: 'supply-low',
          component: 'black toner',
          summary: 'Low.',
          evidence: ['e4'],
        };
      }
      return {
        layer,
        state: unknown ? 'unknown' : 'clear',
        summary: `${layer}.`,
        evidence: unknown ? [] : ['e2', 'e5'],
      };
    }),
    warnings: [
      {
        layer: 'supplies',
        cause: 'supply-low',
        certainty: 'sure',
        component: 'black toner',
        summary: 'Black toner is low (9 %).',
      },
    ],
  });
}

/** Text no printer should be able to make act: markup, escape sequences, direction overrides, and far too much of it. */
export const HOSTILE = `<script>alert(1)</script>"'><img src=x onerror=alert(2)>\u001b]0;owned\u0007\u001b[2J\u202Etxt\u2066 ${'長い名前'.repeat(2500)}`;

export function hostileWhy(): WhyDocument {
  const base = unsureWhy();
  return {
    ...base,
    target: HOSTILE,
    printer: { name: HOSTILE, address: '192.0.2.66', model: HOSTILE, serial: HOSTILE },
    verdict: {
      ...base.verdict,
      cause: HOSTILE,
      component: HOSTILE,
      summary: HOSTILE,
      next: [{ step: HOSTILE, minutes: 1, cautions: [HOSTILE] }],
    },
    others: base.others.map((blame) => ({ ...blame, summary: HOSTILE, cause: HOSTILE })),
    warnings: base.warnings.map((blame) => ({ ...blame, summary: HOSTILE })),
    checks: base.checks.map((check) => ({ ...check, id: HOSTILE, ask: HOSTILE, outcomes: [HOSTILE] })),
    layers: base.layers.map((entry) => ({ ...entry, summary: HOSTILE, component: HOSTILE, cause: HOSTILE })),
    evidence: [
      record('e1', 'dns', HOSTILE, { addresses: [HOSTILE] }),
      record('e2', 'pjl', HOSTILE, { code: 1, display: HOSTILE, online: true, problems: [] }),
      record('e4', 'lpd', 'queue', { text: HOSTILE }),
      record('e5', 'history', 'expected', { serial: HOSTILE }),
    ],
  };
}
