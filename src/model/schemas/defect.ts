import * as z from 'zod';
import { DEFECT_SCHEMA } from '../defect.js';

const chance = z.number().min(0).max(1);
const technology = z.enum(['laser', 'inkjet', 'thermal', 'impact']);
const millimetres = z.number().min(0);

const cause = z.object({
  cause: z.string(),
  part: z.string(),
  probability: chance,
  summary: z.string(),
  because: z.array(z.string()),
  next: z.array(z.object({ step: z.string(), minutes: z.number().min(0), cautions: z.array(z.string()) })),
  source: z.string(),
});

const candidate = z.object({
  part: z.string(),
  circumferenceMm: z.number().gt(0),
  z: z.number(),
  probability: chance,
  rangeMm: z.object({ from: millimetres, to: millimetres }).exactOptional(),
});

const series = z.object({
  periodMm: z.number().gt(0).nullable(),
  sigmaMm: millimetres.nullable(),
  marksMm: z.array(z.number()),
  multiples: z.array(z.int().min(0)),
  decidable: z.boolean(),
  because: z.string(),
  candidates: z.array(candidate),
});

const geometry = z.object({
  scaleX: z.number().nullable(),
  scaleY: z.number().nullable(),
  skewDegrees: z.number().nullable(),
  shearDegrees: z.number().nullable(),
  offsetMm: z.object({ x: z.number(), y: z.number() }).nullable(),
  residualMm: millimetres.nullable(),
  says: z.array(z.string()),
});

const check = z.object({
  id: z.string(),
  ask: z.string(),
  minutes: z.number().min(0),
  bits: z.number().min(0),
  sheets: z.number().min(0),
  outcomes: z.array(z.string()),
  cautions: z.array(z.string()),
});

const word = z.object({
  word: z.string(),
  also: z.array(z.string()),
  technologies: z.array(technology),
  says: z.string(),
});

/** `outfeed defect --json`. */
export const defectSchema = z.object({
  schema: z.literal(DEFECT_SCHEMA),
  target: z.string().nullable(),
  symptoms: z.array(z.string()),
  technology,
  technologyFrom: z.enum(['told', 'printer', 'assumed']),
  ranked: z.array(cause),
  repeat: series.extend({ straysMm: z.array(z.number()), second: series.nullable() }).nullable(),
  checks: z.array(check),
  signs: z.array(z.string()),
  geometry: geometry.nullable(),
  memory: z
    .object({
      widthMm: z.number(),
      lengthMm: z.number(),
      dpiX: z.number(),
      dpiY: z.number(),
      planes: z.int().min(1),
      bits: z.int().min(1),
      width: z.int().min(1),
      height: z.int().min(1),
      bytes: z.int().min(1),
      memoryBytes: z.number().nullable(),
      fits: z.enum(['well', 'one-side', 'not-whole']).nullable(),
      says: z.array(z.string()),
      change: z.array(z.string()),
    })
    .nullable(),
  paper: z
    .object({ gsm: z.number().gt(0), pounds: z.record(z.string(), z.number()), advice: z.array(z.string()) })
    .nullable(),
  notes: z.array(z.string()),
  words: z.array(word),
});
