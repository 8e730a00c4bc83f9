/**
 * What a test page can be written as, in the order in which it is chosen: first what the printer draws itself and in full, PDF before
 * PostScript as more printers take it; then dots made here, which need no language; PCL 5 has no finer shades than eight;
 * text shows least.
 */
export const PAGE_FORMATS = ['pdf', 'postscript', 'pwg-raster', 'pcl5', 'text'] as const;
export type PageFormat = (typeof PAGE_FORMATS)[number];

/** Registered media types. */
export const MEDIA_TYPES: Readonly<Record<PageFormat, string>> = {
  pdf: 'application/pdf',
  postscript: 'application/postscript',
  'pwg-raster': 'image/pwg-raster',
  pcl5: 'application/vnd.hp-PCL',
  text: 'text/plain',
};
