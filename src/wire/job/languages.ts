/**
 * The languages a job file can be in, and how printers name them: media types (IANA, as document-format-supported lists
 * them), PrtInterpreterLangFamilyTC labels (IANA-PRINTER-MIB, prtInterpreterLangFamily) and words of the command set in
 * an IEEE 1284 device ID. Which label stands for which language: their registered descriptions; command set words and
 * ENTER LANGUAGE names: common practice, no published source.
 */

/**
 * `page`, `raster`, `label`: made for printers. `text`: most printers take it. `image`, `document`: made for programs;
 * few printers take them. `packed`: something else inside. `none`: nothing, or nobody knows what.
 */
export type LanguageKind = 'page' | 'raster' | 'label' | 'text' | 'image' | 'document' | 'packed' | 'none';

export interface LanguageNames {
  /** For a sentence: "the computer sends …". */
  readonly words: string;
  readonly kind: LanguageKind;
  readonly formats: readonly string[];
  readonly labels: readonly string[];
  /** Labels under which some printers list it although they name something wider: they settle nothing. */
  readonly near?: readonly string[];
  /** Words of a device ID's command set and of ENTER LANGUAGE=, upper case, without blanks, dashes and dots. */
  readonly commands: readonly string[];
}

const PDF_LABELS = ['langPDF', 'langPDFis', 'langPDF13', 'langPDF14', 'langPDF15', 'langPDF16', 'langPDF17'];
const DOCUMENT = { kind: 'document', labels: [], commands: [] } as const;

export const LANGUAGES = {
  postscript: {
    words: 'PostScript',
    kind: 'page',
    formats: ['application/postscript'],
    labels: ['langPS', 'langPSPrinter'],
    commands: ['POSTSCRIPT', 'PS', 'PS2', 'PS3', 'POSTSCRIPT2', 'POSTSCRIPT3', 'POSTSCRIPTLEVEL2'],
  },
  pdf: {
    words: 'PDF',
    kind: 'page',
    formats: ['application/pdf'],
    labels: PDF_LABELS,
    commands: ['PDF', 'DIRECTPDF'],
  },
  pclm: {
    words: 'PCLm',
    kind: 'raster',
    formats: ['application/PCLm'],
    labels: [],
    near: PDF_LABELS,
    commands: ['PCLM'],
  },
  pcl5: {
    words: 'PCL 5',
    kind: 'page',
    formats: ['application/vnd.hp-PCL'],
    labels: ['langPCL'],
    commands: ['PCL', 'PCL3', 'PCL4', 'PCL5', 'PCL5C', 'PCL5E'],
  },
  pclxl: {
    words: 'PCL XL',
    kind: 'page',
    formats: ['application/vnd.hp-PCLXL'],
    labels: ['langPCLXL'],
    near: ['langPCL'],
    commands: ['PCLXL', 'PCL6', 'PXL'],
  },
  hpgl: {
    words: 'plotter commands (HPGL)',
    kind: 'page',
    formats: ['application/vnd.hp-HPGL'],
    labels: ['langHPGL'],
    near: ['langPCL'],
    commands: ['HPGL', 'HPGL2', 'HPGL/2'],
  },
  xps: {
    words: 'XPS',
    kind: 'page',
    formats: ['application/oxps', 'application/vnd.ms-xpsdocument'],
    labels: ['langXPS', 'langOpenXPS'],
    commands: ['XPS', 'OPENXPS'],
  },
  prescribe: {
    words: 'Prescribe',
    kind: 'page',
    formats: [],
    labels: ['langPrescribe'],
    commands: ['PRESCRIBE'],
  },
  escp: {
    words: 'ESC/P',
    kind: 'page',
    formats: [],
    labels: ['langEscapeP', 'langEpson'],
    commands: ['ESCP', 'ESCPL2', 'ESCP2', 'ESCPR', 'ESCPR1', 'ESCPR2', 'ESC/P', 'ESC/P2', 'ESC/POS'],
  },
  'pwg-raster': {
    words: 'PWG raster',
    kind: 'raster',
    formats: ['image/pwg-raster'],
    labels: [],
    commands: ['PWG', 'PWGRASTER'],
  },
  urf: {
    words: 'the driverless raster format URF',
    kind: 'raster',
    formats: ['image/urf'],
    labels: [],
    commands: ['URF'],
  },
  'spooler-raster': {
    words: 'a raster format that only spoolers use between their own parts',
    kind: 'raster',
    formats: ['application/vnd.cups-raster'],
    labels: [],
    commands: [],
  },
  zpl: { words: 'a label language (ZPL)', kind: 'label', formats: [], labels: [], commands: ['ZPL', 'ZPL2', 'ZPLII'] },
  epl: { words: 'a label language (EPL)', kind: 'label', formats: [], labels: [], commands: ['EPL', 'EPL2'] },
  text: {
    words: 'plain text',
    kind: 'text',
    formats: ['text/plain'],
    labels: [
      'langSimpleText',
      'langLinePrinter',
      'langLineData',
      'langPCL',
      'langEscapeP',
      'langEpson',
      'langPPDS',
      'langISO6429',
    ],
    commands: ['TEXT', 'TXT', 'ASCII', 'PCL', 'PCL5', 'PCL5C', 'PCL5E', 'ESCP', 'ESCPL2'],
  },
  tiff: { words: 'a TIFF picture', kind: 'image', formats: ['image/tiff'], labels: ['langTIFF'], commands: ['TIFF'] },
  jpeg: {
    words: 'a JPEG picture',
    kind: 'image',
    formats: ['image/jpeg'],
    labels: ['langJPEG'],
    commands: ['JPEG', 'JPG'],
  },
  png: { words: 'a PNG picture', kind: 'image', formats: ['image/png'], labels: [], commands: ['PNG'] },
  gif: { words: 'a GIF picture', kind: 'image', formats: ['image/gif'], labels: [], commands: ['GIF'] },
  office: {
    ...DOCUMENT,
    words: 'an office document as it was saved',
    formats: [
      'application/vnd.openxmlformats-officedocument.wordprocessingml.document',
      'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
      'application/vnd.openxmlformats-officedocument.presentationml.presentation',
      'application/vnd.oasis.opendocument.text',
      'application/msword',
    ],
  },
  rtf: { ...DOCUMENT, words: 'a word-processor file (RTF)', formats: ['application/rtf', 'text/rtf'] },
  html: { ...DOCUMENT, words: 'a web page (HTML)', formats: ['text/html'] },
  metafile: { ...DOCUMENT, words: 'a metafile that a computer has not yet translated for the printer', formats: [] },
  packed: {
    words: 'a compressed file',
    kind: 'packed',
    formats: ['application/gzip', 'application/zip'],
    labels: [],
    commands: [],
  },
  empty: { words: 'an empty file', kind: 'none', formats: [], labels: [], commands: [] },
  unknown: { words: 'something unknown', kind: 'none', formats: [], labels: [], commands: [] },
} as const satisfies Readonly<Record<string, LanguageNames>>;

export type JobLanguage = keyof typeof LANGUAGES;

const NAMES: Readonly<Record<JobLanguage, LanguageNames>> = LANGUAGES;

/** How a language is named. */
export function namesOf(language: JobLanguage): LanguageNames {
  return NAMES[language];
}

/** True for an id of the table. */
export function isJobLanguage(id: unknown): id is JobLanguage {
  return typeof id === 'string' && Object.hasOwn(LANGUAGES, id);
}

const plain = (word: string): string => word.toUpperCase().replace(/[\s._-]/g, '');

/** The language a word of a command set or of ENTER LANGUAGE= stands for; undefined when nobody knows. */
export function languageOfWord(word: string): JobLanguage | undefined {
  const wanted = plain(word);
  const ids = Object.keys(LANGUAGES) as JobLanguage[];
  return ids.find((id) => NAMES[id].kind !== 'text' && NAMES[id].commands.includes(wanted));
}

/** True when one of the words of a device ID's command set stands for the language. */
export function commandsInclude(commands: readonly string[], language: JobLanguage): boolean {
  return commands.some((word) => NAMES[language].commands.includes(plain(word)));
}
