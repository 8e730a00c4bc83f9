/*
 * Reads one page of PWG Raster from standard input with the spooler's own raster library. Standard error: what its header
 * says, one "name value" a line. Standard output: the dots as PGM, or PPM for three colours; 255 is white.
 */
#include <cups/raster.h>
#include <stdio.h>
#include <stdlib.h>

int main(void) {
  cups_raster_t *raster = cupsRasterOpen(0, CUPS_RASTER_READ);
  cups_page_header2_t header;
  if (raster == NULL || !cupsRasterReadHeader2(raster, &header)) {
    fprintf(stderr, "no page\n");
    return 1;
  }
  fprintf(stderr, "dpi %u %u\nsize %u %u\nbits %u\npixel %u\nspace %d\ncolours %u\npoints %u %u\nname %s\nkind %s\ncopies %u\npages %u\n",
          header.HWResolution[0], header.HWResolution[1], header.cupsWidth, header.cupsHeight, header.cupsBitsPerColor,
          header.cupsBitsPerPixel, (int)header.cupsColorSpace, header.cupsNumColors, header.PageSize[0],
          header.PageSize[1], header.cupsPageSizeName, header.MediaClass, header.NumCopies, header.cupsInteger[0]);
  printf("P%d\n%u %u\n255\n", header.cupsNumColors == 3 ? 6 : 5, header.cupsWidth, header.cupsHeight);
  unsigned char *line = malloc(header.cupsBytesPerLine);
  for (unsigned y = 0; y < header.cupsHeight; y++) {
    if (cupsRasterReadPixels(raster, line, header.cupsBytesPerLine) != header.cupsBytesPerLine) {
      fprintf(stderr, "cut at line %u\n", y);
      return 2;
    }
    if (header.cupsBitsPerPixel == 1) {
      for (unsigned x = 0; x < header.cupsWidth; x++) putchar(line[x / 8] & (128 >> (x & 7)) ? 0 : 255);
    } else {
      fwrite(line, 1, header.cupsBytesPerLine, stdout);
    }
  }
  if (cupsRasterReadHeader2(raster, &header)) fprintf(stderr, "another page\n");
  cupsRasterClose(raster);
  free(line);
  return 0;
}
