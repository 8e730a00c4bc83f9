import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Io } from '../../src/commands/io.js';
import { type RunningDevice, startDevice } from '../../src/demo/running.js';
import type { DefectDocument } from '../../src/model/defect.js';
import { closed, published } from '../schemas/validator.js';
import { outfeed } from './captured-io.js';

const EXAMPLE = new URL('../../config/models/example.yaml', import.meta.url).pathname;

let folder: string;
const devices: RunningDevice[] = [];
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'outfeed-defect-'));
});
afterAll(async () => {
  await Promise.all(devices.map((device) => device.close()));
  rmSync(folder, { recursive: true, force: true });
});

const run = (argv: readonly string[], around: Partial<Io> = {}) =>
  outfeed(['defect', ...argv], { cwd: folder, ...around });

async function document(argv: readonly string[]): Promise<{ doc: DefectDocument; code: number }> {
  const { out, code } = await run([...argv, '--json']);
  const doc = JSON.parse(out) as DefectDocument;
  for (const validate of [published('defect'), closed('defect')]) {
    validate(doc);
    expect(validate.errors ?? []).toEqual([]);
  }
  return { doc, code };
}

describe('what is asked and what it is worth', () => {
  test('marks of a drum: the part, the period, exit 1', async () => {
    const { doc, code } = await document([
      '--symptom',
      'repeat',
      '--marks',
      '10,104.2,292.6',
      '--model',
      EXAMPLE,
      '--technology',
      'laser',
    ]);
    expect(code).toBe(1);
    expect(doc).toMatchObject({
      schema: 'outfeed.defect/1',
      symptoms: ['repeating-marks'],
      technology: 'laser',
      technologyFrom: 'told',
      repeat: {
        periodMm: 94.2,
        multiples: [0, 1, 3],
        decidable: true,
      },
    });
    expect(doc.repeat?.candidates[0]).toMatchObject({ part: 'drum', circumferenceMm: 94.2, z: 0 });
    expect(doc.ranked[0]).toMatchObject({ cause: 'drum-worn', part: 'drum' });
  });

  test('two marks: undecidable, exit 3, and it says where to look', async () => {
    const { doc, code } = await document(['--marks', '20,114.2', '--model', EXAMPLE]);
    expect(code).toBe(3);
    expect(doc.repeat).toMatchObject({ decidable: false });
    expect(doc.repeat?.because).toContain('Look for a faint mark');
  });

  test('scale and reading error', async () => {
    const { doc } = await document([
      '--marks',
      '10.31,107.42,204.54,301.65',
      '--scale',
      '97/100',
      '--reading-error',
      '0.2',
      '--model',
      EXAMPLE,
    ]);
    expect(doc.repeat?.periodMm).toBeCloseTo(94.2, 1);
    expect(doc.repeat?.sigmaMm).toBeCloseTo((0.2 * 0.97) / Math.sqrt(5), 2);
  });

  test('without a model: ranges, and a note that they overlap', async () => {
    const { doc, code } = await document(['--marks', '10,104.2,198.4,292.6']);
    expect(code).toBe(1);
    expect(doc.repeat?.candidates[0]?.rangeMm).toEqual({ from: 63, to: 300 });
    expect(doc.notes.join()).toContain('ranges only, which overlap');
  });

  test('a symptom alone ranks causes: exit 1; an answer moves them', async () => {
    const before = await document(['--symptom', 'smudge']);
    expect(before.code).toBe(1);
    expect(before.doc.ranked[0]?.part).toBe('fuser');
    const after = await document(['--symptom', 'smudge', '--answer', 'fresh-paper=gone']);
    expect(after.doc.ranked[0]?.part).not.toBe('fuser');
    expect(after.doc.checks.map(({ id }) => id)).not.toContain('fresh-paper');
  });

  test('nothing that the technology could show: exit 3', async () => {
    expect((await document(['--symptom', 'ghost', '--technology', 'impact'])).code).toBe(3);
  });

  test('no symptom: the words are listed, exit 0', async () => {
    const { doc, code } = await document([]);
    expect(code).toBe(0);
    expect(doc.words.length).toBeGreaterThan(25);
    const { out } = await run(['--technology', 'thermal']);
    expect(out).toContain('white-streak');
    expect(out).not.toContain('ghost');
  });

  test('ruler readings and paper come along', async () => {
    const points = ['10,10=12,9', '200,10=202,9', '10,287=12,286', '200,287=202,286'];
    const { doc } = await document([...points.flatMap((point) => ['--point', point]), '--paper', '20 lb bond']);
    expect(doc.geometry).toMatchObject({ scaleX: 1, skewDegrees: 0, offsetMm: { x: 2, y: -1 } });
    expect(doc.paper).toMatchObject({ gsm: 75.2, pounds: { bond: 20 } });
    expect((await document(['--line', '10,13.3,190'])).doc.symptoms).toEqual(['skew']);
  });
});

describe('one sentence for a mistake, exit 2', () => {
  test.each([
    [['--symptom', 'strek'], 'did you mean "streak"?'],
    [['--symptom', 'elephants'], 'there are jam'],
    [['--technology', 'steam'], '--technology takes laser, inkjet, thermal or impact'],
    [['--marks', '10,ten'], '--marks takes up to 60 positions'],
    [['--marks', ''], '--marks takes'],
    [['--marks', '1e9,2'], '--marks takes'],
    [['--marks', '12,5 106,7'], '--marks takes a point before the fraction, as in 12.5,106.7,201, not "12,5 106,7"'],
    [['--marks', '12,5;106'], '--marks takes a point'],
    [['--marks', Array.from({ length: 61 }, (_, at) => at).join()], '--marks takes'],
    [['--marks', '1,2', '--reading-error', '0'], '--reading-error takes'],
    [['--marks', '1,2', '--scale', '97'], '--scale takes MEASURED/PRINTED'],
    [['--marks', '1,2', '--scale', '97/0'], '--scale takes'],
    [['--answer', 'fresh-paper'], '--answer takes CHECK=OUTCOME'],
    [['--answer', 'fresh-paper=maybe'], 'is answered by gone, stays'],
    [['--answer', 'fresh-papr=gone'], 'did you mean "fresh-paper"?'],
    [['--answer', 'panel-lit=dark'], 'there is no check "panel-lit"'],
    [['--paper', 'thick'], '--paper takes a weight'],
    [['--grain', 'up'], '--grain takes along or across'],
    [['--humidity', '140'], '--humidity takes percent'],
    [['--point', '1,2'], '--point takes'],
    [['--diagonals', '1,2,3'], '--diagonals takes'],
    [['--diagonals', '3000,290,200,220'], '--diagonals takes'],
    [['--line', '1,2,0'], '--line takes'],
    [['--line', '10,200,13'], '--line takes'],
    [['--marks', '1,2', '--model', 'nowhere.yaml'], 'there is no such file'],
    [['--ask'], '--ask needs a terminal'],
    [['--symptom', 'jam', '--html', 'no/such/folder/x.html'], "Can't write"],
  ])('%j', async (argv, says) => {
    const { code, out, err } = await run(argv);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err.toLowerCase()).toContain(says.toLowerCase());
    expect(err.trim().split('\n')).toHaveLength(1);
  });

  test('a broken model file is named with its line', async () => {
    writeFileSync(join(folder, 'bad.yaml'), 'parts:\n  - part: drum\n');
    const { code, err } = await run(['--marks', '1,2', '--model', 'bad.yaml']);
    expect(code).toBe(2);
    expect(err).toContain('bad.yaml:2:');
  });
});

describe('with the printer’s own word', () => {
  async function started(scenario: Parameters<typeof startDevice>[0], address: string): Promise<readonly string[]> {
    const device = await startDevice(scenario, { address });
    devices.push(device);
    const uri = device.ippUri === null ? [] : ['--ipp-uri', device.ippUri];
    return [address, '--timeout', '1500', '--snmp-port', String(device.snmpPort), ...uri];
  }

  test('a drum near its end, and nothing sent to the print ports', async () => {
    const argv = await started(
      {
        name: 'pier',
        supplies: [
          { type: 'tonerCartridge', colour: 'black', capacity: 6000, level: 4200 },
          { name: 'drum', type: 'opc', capacity: 60000, level: 1200 },
        ],
      },
      '127.35.41.1',
    );
    const { doc } = await document([...argv, '--symptom', 'streak']);
    expect(doc).toMatchObject({ target: '127.35.41.1', technology: 'laser', technologyFrom: 'printer' });
    expect(doc.signs.join()).toContain('2 % of life left in drum');
    expect(doc.ranked[0]?.because.join()).toContain('4 times likelier');
    expect(devices[0]?.received()).toMatchObject({ rawOctets: 0, lpdOctets: 0, snmpWrites: 0, ippJobs: 0 });
  });

  test('a label printer is taken for what it is; a jam for where it is', async () => {
    const label = await started({ name: 'crane', technology: 'thermalTransfer', ipp: false }, '127.35.41.2');
    expect((await document([...label, '--symptom', 'white-streak'])).doc.technology).toBe('thermal');
    const jammed = await started(
      { name: 'quay', alerts: [{ group: 'input', index: 1, code: 'jam', description: 'Jam' }] },
      '127.35.41.3',
    );
    const { doc } = await document([...jammed, '--symptom', 'jam']);
    expect(doc.ranked[0]?.cause).toBe('pickup-worn');
  });

  test('a printer that is not there: said, and judged without it', async () => {
    const { doc, code } = await document([
      '127.35.41.200',
      '--timeout',
      '200',
      '--retries',
      '0',
      '--symptom',
      'streak',
    ]);
    expect(code).toBe(1);
    expect(doc.notes[0]).toContain('told nothing of itself');
  });

  test('the model file that the configuration names is used', async () => {
    writeFileSync(join(folder, 'model.yaml'), 'parts:\n  - { part: anvil roller, diameterMm: 30 }\n');
    writeFileSync(
      join(folder, 'outfeed.yaml'),
      'printers: [{ name: forge, address: 127.35.41.201, model: model.yaml }]\n',
    );
    const { doc } = await document(['forge', '--timeout', '200', '--retries', '0', '--marks', '10,104.2,198.4']);
    expect(doc.repeat?.candidates[0]).toMatchObject({ part: 'anvil roller', circumferenceMm: 94.25 });
    rmSync(join(folder, 'outfeed.yaml'));
  });
});

describe('at the terminal', () => {
  const answering = (lines: readonly string[]) => {
    const left = [...lines];
    const questions: string[] = [];
    const ask = async (question: string): Promise<string | undefined> => {
      questions.push(question);
      return left.shift();
    };
    return { questions, ask };
  };

  test('--ask walks through symptoms and checks', async () => {
    const { ask, questions } = answering(['nonsense', 'no-feed', 'gone', 'q']);
    const { out, code, err } = await run(['--ask'], { ask });
    expect(code).toBe(1);
    expect(questions[0]).toContain('What is wrong with the pages?');
    expect(err).toContain('none of them');
    expect(questions.length).toBeGreaterThan(3);
    expect(out).toContain('no feed, a laser printer');
  });

  test('numbers do as well; q ends it, the words are listed', async () => {
    const first = answering(['1,2', 'q']);
    expect((await run(['--ask'], { ask: first.ask })).code).toBe(1);
    expect((await run(['--ask'], { ask: answering(['q']).ask })).code).toBe(0);
  });

  test('--html writes a page beside the text', async () => {
    const { out } = await run(['--symptom', 'ghost', '--html', 'ghost.html']);
    const page = readFileSync(join(folder, 'ghost.html'), 'utf8');
    expect(out).toContain('Next steps');
    expect(page).toContain('<svg class="sketch"');
    expect(page).toContain('What to do');
  });
});
