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

const words = (takes: string) => z.string(takes).min(1, takes).max(100, 'is at most 100 characters');
const pages = z.int('takes a whole number of pages').min(1, 'is above 0').max(1_000_000_000, 'is at most 1000000000');

const cartridge = z
  .strictObject(
    {
      order: words('takes what is ordered, a name or a number'),
      supply: words('takes the name that the printer gives the supply').exactOptional(),
      type: words('takes a type of supply such as toner or ink').exactOptional(),
      colour: words('takes a colour').exactOptional(),
      ratedPages: pages.exactOptional(),
      price: z.number('takes an amount of money').min(0, 'is at least 0').exactOptional(),
    },
    'takes a block with order, and supply or type',
  )
  .refine(({ supply, type }) => (supply === undefined) !== (type === undefined), 'has either supply or type');

const day = z.iso.date('takes a date such as 2026-01-31');

const care = z
  .strictObject(
    {
      part: words('takes the name of the part'),
      everyPages: pages.exactOptional(),
      everyDays: z.int('takes a whole number of days').min(1, 'is above 0').max(36_500).exactOptional(),
      done: z
        .array(
          z.strictObject(
            { printer: words('takes the name of a printer'), at: day, pages: z.int().min(0).exactOptional() },
            'takes a block with printer and at',
          ),
          'takes a list',
        )
        .exactOptional(),
    },
    'takes a block with part, and everyPages or everyDays',
  )
  .refine(
    ({ everyPages, everyDays }) => everyPages !== undefined || everyDays !== undefined,
    'has everyPages, everyDays or both',
  );

/** A model file: the rotating parts, the cartridges and the care of one printer model. */
export const modelFileSchema = z.strictObject(
  {
    parts: z.array(part, 'takes a list of parts').default([]),
    currency: words('takes the name of a currency').exactOptional(),
    supplies: z.array(cartridge, 'takes a list of cartridges').exactOptional(),
    maintenance: z.array(care, 'takes a list of parts').exactOptional(),
  },
  'takes a block with parts, supplies or maintenance',
);
export type ModelFile = z.infer<typeof modelFileSchema>;
