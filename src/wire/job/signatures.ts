/**
 * How a job's first octets give its language away. Sources: signature database of file(1) (PostScript, PCL, TIFF),
 * ISO 32000-2 7.5.2 (PDF), PWG 5102.4 (PWG raster), ISO/IEC 10918-1 (JPEG), ISO/IEC 15948 (PNG), RFC 1952 (gzip);
 * those marked "from memory" have no source that was opened.
 */
import type { JobLanguage } from './languages.js';

export interface Signature {
  readonly language: JobLanguage;
  /** Tried at the start of the job, one character for each octet. */
  readonly start: RegExp;
  readonly confidence: 'sure' | 'likely' | 'possible';
}

const sure = (language: JobLanguage, start: RegExp): Signature => ({ language, start, confidence: 'sure' });
const likely = (language: JobLanguage, start: RegExp): Signature => ({ language, start, confidence: 'likely' });
const possible = (language: JobLanguage, start: RegExp): Signature => ({ language, start, confidence: 'possible' });

/** In the order in which they are tried. All are anchored, none can run away. */
export const SIGNATURES: readonly Signature[] = [
  // %PCLm follows the PDF header on a line of its own: from memory.
  sure('pclm', /^%PDF-[\d.]{1,8}\s{1,4}%PCLm/),
  sure('pdf', /^%PDF-/),
  // A Ctrl-D before the header ends the job before it on a serial line: from memory.
  sure('postscript', /^\u0004{0,2}\s{0,8}%!/),
  sure('postscript', /^\u00c5\u00d0\u00d3\u00c6/),
  // Stream header of PCL XL: binding, blank, name; "\u001bE" may stand before it. From memory.
  sure('pclxl', /^(\u001bE)?[)('] HP-PCL XL;/),
  sure('pwg-raster', /^RaS2PwgRaster\0/),
  // Spooler raster of versions 1 to 3, either byte order: spooler documentation, from memory.
  sure('spooler-raster', /^(RaSt|tSaR|RaS2|2SaR|RaS3|3SaR)/),
  sure('urf', /^UNIRAST\0/), // from memory
  sure('jpeg', /^\u00ff\u00d8\u00ff/),
  sure('png', /^\u0089PNG\r\n\u001a\n/),
  sure('gif', /^GIF8[79]a/), // from memory
  sure('tiff', /^(II\*\0|MM\0\*)/),
  sure('packed', /^\u001f\u008b/),
  sure('office', /^\u00d0\u00cf\u0011\u00e0\u00a1\u00b1\u001a\u00e1/), // compound document, from memory
  sure('rtf', /^\{\\rtf/), // from memory
  sure('html', /^(\u00ef\u00bb\u00bf)?\s{0,40}(<!doctype html|<html[\s>])/i),
  sure('metafile', /^\u0001\0\0\0.{36} EMF/s), // from memory
  // ESC @ resets; some drivers first leave the packet mode with ESC SOH "@EJL": both from memory.
  sure('escp', /^\0{0,8}\u001b\u0001@EJL /),
  likely('escp', /^\0{0,8}\u001b@/),
  // ESC E resets; ESC % n A and ESC % n B switch between PCL and plotter commands: from memory.
  sure('hpgl', /^(\u001bE)?\u001b%-?\d{1,2}B/),
  sure('pcl5', /^\0{0,8}\u001bE/),
  sure('pcl5', /^\0{0,8}\u001b[&*()][a-z@0-9]/),
  sure('prescribe', /^\s{0,8}!R!/), // from memory
  sure('zpl', /^\s{0,16}\^XA/), // from memory
  likely('zpl', /^\s{0,16}(CT~~CD|~(DG|DY|JA|SD|TA|WC|HS|JS)[^a-z])/), // from memory
  likely('epl', /^\s{0,16}N\r?\n\s{0,8}[qQARDSZBOJ]\d{1,4}/), // from memory
  possible('hpgl', /^\s{0,8}(IN|DF);\s{0,4}(SP|PU|PA|IP|PS|VS)/), // from memory
];
