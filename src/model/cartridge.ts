/** What a user knows of a printer model's supplies and parts: the model file's blocks `supplies` and `maintenance`. */

/** One cartridge, and which of a printer's supplies it is. */
export interface Cartridge {
  /** As it is ordered. */
  readonly order: string;
  /** The printer's own name of the supply. */
  readonly supply?: string;
  /** PrtMarkerSuppliesTypeTC; with `colour` instead of `supply`. */
  readonly type?: string;
  readonly colour?: string;
  /** Pages at 5 % coverage. */
  readonly ratedPages?: number;
  readonly price?: number;
}

/** One part that is changed or cared for at intervals. */
export interface CarePlan {
  readonly part: string;
  readonly everyPages?: number;
  readonly everyDays?: number;
  /** When it was last done at a printer: pages on its counter and ISO 8601 date. */
  readonly done?: readonly { readonly printer: string; readonly at: string; readonly pages?: number }[];
}

export interface ModelSupplies {
  /** Name of the file: printers with the same share their cartridges. */
  readonly model: string;
  readonly currency?: string;
  readonly supplies: readonly Cartridge[];
  readonly maintenance: readonly CarePlan[];
}
