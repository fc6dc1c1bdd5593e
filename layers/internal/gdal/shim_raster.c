#include "cpl_conv.h"
#include "cpl_string.h"
#include "gdal.h"
#include "ogr_srs_api.h"
#include "shim.h"

tk_reply tk_open(const char *path, int vector) {
  tk_reply r;
  tk_begin(&r);
  unsigned flags = GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR | (vector ? GDAL_OF_VECTOR : GDAL_OF_RASTER);
  r.handle = GDALOpenEx(path, flags, NULL, NULL, NULL);
  r.ok = r.handle != NULL;
  return tk_end(&r);
}

tk_reply tk_close(void *dataset) {
  tk_reply r;
  tk_begin(&r);
  GDALFlushCache(dataset);
  GDALClose(dataset);
  r.ok = 1;
  return tk_end(&r);
}

// A table of more rows is a histogram and no legend.
#define MOST_ROWS 65536

static void put_attributes(tk_bytes *out, GDALRasterAttributeTableH table) {
  int cols = table == NULL ? 0 : GDALRATGetColumnCount(table);
  int rows = table == NULL ? 0 : GDALRATGetRowCount(table);
  if (rows < 0 || rows > MOST_ROWS) rows = 0;
  double first = 0, step = 0;
  int binned = table != NULL && GDALRATGetLinearBinning(table, &first, &step);
  tk_put_int(out, binned);
  tk_put_float(out, first);
  tk_put_float(out, step);
  tk_put_int(out, cols);
  tk_put_int(out, rows);
  for (int c = 0; c < cols; c++) {
    int text = GDALRATGetTypeOfCol(table, c) == GFT_String;
    tk_put_text(out, GDALRATGetNameOfCol(table, c));
    tk_put_int(out, GDALRATGetUsageOfCol(table, c));
    tk_put_int(out, text);
    for (int i = 0; i < rows; i++) {
      if (text)
        tk_put_text(out, GDALRATGetValueAsString(table, i, c));
      else
        tk_put_float(out, GDALRATGetValueAsDouble(table, i, c));
    }
  }
}

static void put_legend(tk_bytes *out, GDALRasterBandH band) {
  char **names = GDALGetRasterCategoryNames(band);
  tk_put_int(out, CSLCount(names));
  for (int i = 0; names != NULL && names[i] != NULL; i++) tk_put_text(out, names[i]);
  GDALColorTableH colours = GDALGetRasterColorTable(band);
  int n = colours == NULL ? 0 : GDALGetColorEntryCount(colours);
  tk_put_int(out, n);
  for (int i = 0; i < n; i++) {
    GDALColorEntry e = {0, 0, 0, 0};
    GDALGetColorEntryAsRGB(colours, i, &e);
    tk_put_int(out, e.c1);
    tk_put_int(out, e.c2);
    tk_put_int(out, e.c3);
    tk_put_int(out, e.c4);
  }
  put_attributes(out, GDALGetDefaultRAT(band));
}

static void put_nodata(tk_bytes *out, GDALRasterBandH band) {
  int has = 0;
  double nodata;
  switch (GDALGetRasterDataType(band)) {
    case GDT_Int64: nodata = (double)GDALGetRasterNoDataValueAsInt64(band, &has); break;
    case GDT_UInt64: nodata = (double)GDALGetRasterNoDataValueAsUInt64(band, &has); break;
    default: nodata = GDALGetRasterNoDataValue(band, &has);
  }
  tk_put_int(out, has);
  tk_put_float(out, nodata);
}

static void put_band(tk_bytes *out, GDALRasterBandH band) {
  GDALGetMetadata(band, NULL);
  int block_x = 0, block_y = 0, has = 0;
  GDALGetBlockSize(band, &block_x, &block_y);
  tk_put_text(out, GDALGetDataTypeName(GDALGetRasterDataType(band)));
  tk_put_int(out, GDALGetDataTypeSizeBytes(GDALGetRasterDataType(band)));
  put_nodata(out, band);
  double scale = GDALGetRasterScale(band, &has);
  tk_put_float(out, scale);
  tk_put_float(out, GDALGetRasterOffset(band, &has));
  tk_put_int(out, block_x);
  tk_put_int(out, block_y);
  tk_put_int(out, GDALGetOverviewCount(band));
  tk_put_int(out, GDALGetMaskFlags(band));
  tk_put_text(out, GDALGetRasterUnitType(band));
  tk_put_text(out, GDALGetDescription(band));
  put_legend(out, band);
}

tk_reply tk_raster_info(void *dataset, int band) {
  tk_reply r;
  tk_begin(&r);
  GDALGetMetadata(dataset, NULL);  // GDAL 3.6 looks beside a GeoTIFF only when it is asked for metadata
  double affine[6] = {0, 1, 0, 0, 0, 1};
  int placed = GDALGetGeoTransform(dataset, affine) == CE_None;
  tk_put_text(&r.out, GDALGetDriverShortName(GDALGetDatasetDriver(dataset)));
  tk_put_int(&r.out, GDALGetRasterXSize(dataset));
  tk_put_int(&r.out, GDALGetRasterYSize(dataset));
  tk_put_int(&r.out, GDALGetRasterCount(dataset));
  tk_put_int(&r.out, placed);
  for (int i = 0; i < 6; i++) tk_put_float(&r.out, affine[i]);
  tk_put_srs(&r.out, GDALGetSpatialRef(dataset));
  r.ok = 1;
  if (band >= 1 && band <= GDALGetRasterCount(dataset)) put_band(&r.out, GDALGetRasterBand(dataset, band));
  return tk_end(&r);
}

static int least(int a, int b) { return a < b ? a : b; }

// find_bad_block asks for each block under the window by itself and puts the
// first that cannot be read. Those that can are in GDAL's cache by now.
static void find_bad_block(tk_reply *r, GDALRasterBandH band, tk_window w) {
  int bw = 0, bh = 0;
  tk_bytes seen = r->log;
  GDALGetBlockSize(band, &bw, &bh);
  for (int y = w.y / bh; y <= (w.y + w.h - 1) / bh; y++) {
    for (int x = w.x / bw; x <= (w.x + w.w - 1) / bw; x++) {
      double cell;
      r->log = (tk_bytes){0};
      int bad = GDALRasterIO(band, GF_Read, x * bw, y * bh, 1, 1, &cell, 1, 1, GDT_Float64, 0, 0) != CE_None;
      bad |= r->log.size > 0;
      CPLFree(r->log.data);
      r->log = seen;
      if (bad) {
        tk_put_int(&r->out, x);
        tk_put_int(&r->out, y);
        tk_put_int(&r->out, x * bw);
        tk_put_int(&r->out, y * bh);
        tk_put_int(&r->out, least(bw, GDALGetRasterBandXSize(band) - x * bw));
        tk_put_int(&r->out, least(bh, GDALGetRasterBandYSize(band) - y * bh));
        return;
      }
    }
  }
}

// holds tells whether a band exists and a window lies inside it.
static int holds(GDALRasterBandH band, tk_window w) {
  return band != NULL && w.w <= GDALGetRasterBandXSize(band) - w.x && w.h <= GDALGetRasterBandYSize(band) - w.y;
}

static void read_band(tk_reply *r, GDALRasterBandH band, tk_window w, GDALDataType type, void *cells) {
  if (!holds(band, w)) {
    CPLError(CE_Failure, CPLE_IllegalArg, "there is no such band, or the window is not inside it");
    return;
  }
  r->ok = GDALRasterIO(band, GF_Read, w.x, w.y, w.w, w.h, cells, w.w, w.h, type, 0, 0) == CE_None;
  if (!r->ok || r->log.size > 0) find_bad_block(r, band, w);
}

tk_reply tk_read(void *dataset, int band, tk_window w, int type, void *cells) {
  tk_reply r;
  tk_begin(&r);
  read_band(&r, GDALGetRasterBand(dataset, band), w, type, cells);
  return tk_end(&r);
}

tk_reply tk_read_mask(void *dataset, int band, tk_window w, uint8_t *cells) {
  tk_reply r;
  tk_begin(&r);
  GDALRasterBandH colours = GDALGetRasterBand(dataset, band);
  read_band(&r, colours == NULL ? NULL : GDALGetMaskBand(colours), w, GDT_Byte, cells);
  return tk_end(&r);
}

tk_reply tk_metadata(void *dataset, const char *domain) {
  tk_reply r;
  tk_begin(&r);
  char **items = GDALGetMetadata(dataset, domain);
  tk_put_int(&r.out, CSLCount(items));
  for (int i = 0; items != NULL && items[i] != NULL; i++) tk_put_text(&r.out, items[i]);
  r.ok = 1;
  return tk_end(&r);
}

tk_reply tk_write(void *dataset, tk_window w, int type, void *cells) {
  tk_reply r;
  tk_begin(&r);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  r.ok = band != NULL && GDALRasterIO(band, GF_Write, w.x, w.y, w.w, w.h, cells, w.w, w.h, type, 0, 0) == CE_None;
  return tk_end(&r);
}

static int set_srs(GDALDatasetH dataset, const char *wkt) {
  OGRSpatialReferenceH srs = OSRNewSpatialReference(NULL);
  OSRSetAxisMappingStrategy(srs, OAMS_TRADITIONAL_GIS_ORDER);
  int ok = OSRSetFromUserInput(srs, wkt) == OGRERR_NONE && GDALSetSpatialRef(dataset, srs) == CE_None;
  OSRRelease(srs);
  return ok;
}

tk_reply tk_create(const char *path, int cols, int rows, int type, const double *affine, const char *wkt, char **options) {
  tk_reply r;
  tk_begin(&r);
  r.handle = GDALCreate(GDALGetDriverByName("GTiff"), path, cols, rows, 1, type, options);
  r.ok = r.handle != NULL && GDALSetGeoTransform(r.handle, (double *)affine) == CE_None &&
         (wkt[0] == 0 || set_srs(r.handle, wkt));
  if (!r.ok && r.handle != NULL) {
    GDALClose(r.handle);
    r.handle = NULL;
  }
  return tk_end(&r);
}
