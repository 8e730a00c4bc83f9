import * as z from 'zod';

const size = (name: string) =>
  z.number(`takes the ${name} in millimetres`).gt(0, 'is above 0').max(2000, 'is at most 2000');

const part = z
  .strictObject(
    {
      part: z
        .string('takes the name of the part')
        .min(1, 'takes the name of the part')
        .max(100, 'is at most 100 characters'),
      circumferenceMm: size('circumference').exactOptional(),
      diameterMm: size('diameter').exactOptional(),
      /** How much faster than the paper its surface runs: its marks return the sooner. */
      speedRatio: z
        .number('takes the ratio of its surface speed to the paper’s')
        .min(0.3, 'is at least 0.3')
        .max(5, 'is at most 5')
        .exactOptional(),
    },
    'takes a block with part, and circumferenceMm or diameterMm',
  )
  .refine(
    ({ circumferenceMm, diameterMm }) => (circumferenceMm === undefined) !== (diameterMm === undefined),
    'has either circumferenceMm or diameterMm',
  );

/** A model file: the rotating parts of one printer model. */
export const modelFileSchema = z.strictObject(
  { parts: z.array(part, 'takes a list of parts') },
  'takes a block with parts',
);
export type ModelFile = z.infer<typeof modelFileSchema>;
