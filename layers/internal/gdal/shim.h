// Every function here does one piece of work between pushing an error collector
// and popping it again: the handler stack belongs to the OS thread, and a
// goroutine may change threads between two calls from Go.
#ifndef TUSSOCK_SHIM_H
#define TUSSOCK_SHIM_H

#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdlib.h>

typedef struct {
	int failed;     // a CE_Failure or CE_Fatal was seen
	int number;     // CPLErrorNum of the first failure
	char text[512]; // the first failure
	int warned;
	char warning[512]; // the first warning
} shim_status;

typedef struct {
	int cols, rows, bands;
	double affine[6];
	int has_affine;
	char *wkt;    // to be freed with shim_free
	char *driver; // borrowed
	int raster, vector;
} shim_info;

typedef struct {
	int type, block_x, block_y, overviews, has_nodata, colours, names, rat_rows;
	double nodata, scale, offset;
	int mask_flags;
	char *unit, *description; // to be freed
	char **categories;        // to be freed with shim_free_list
	short rgba[256 * 4];      // colour table, the first `colours` entries
	// attribute table: values and names, to be freed
	int *rat_value;
	char **rat_name;
	short *rat_rgb; // three per row, −1 where there is none
} shim_band;

typedef struct {
	char *name, *wkt, *geometry; // name and wkt to be freed; geometry borrowed
	long long count;
	int fields;
	char **field_names; // to be freed with shim_free_list
	double extent[4];   // min x, min y, max x, max y
	int has_extent;
} shim_layer;

typedef struct {
	char *wkt, *name, *authority, *code; // to be freed
	int geographic, projected, local;
	double metres; // of one linear unit
} shim_srs;

void shim_init(void);
void shim_free(void *p);
void shim_free_list(char **list);

GDALDatasetH shim_open(const char *path, unsigned flags, char **options, shim_status *s);
int shim_close(GDALDatasetH ds, shim_status *s);
int shim_get_info(GDALDatasetH ds, shim_info *out, shim_status *s);
int shim_get_band(GDALDatasetH ds, int band, shim_band *out, shim_status *s);
int shim_read(GDALDatasetH ds, int band, int x, int y, int w, int h, void *dst, int type, shim_status *s);
int shim_read_mask(GDALDatasetH ds, int band, int x, int y, int w, int h, void *dst, shim_status *s);
char **shim_metadata(GDALDatasetH ds, const char *domain, shim_status *s);

GDALDatasetH shim_create(const char *path, int w, int h, int type, const double *affine, const char *wkt, char **options, shim_status *s);
int shim_write(GDALDatasetH ds, int x, int y, int w, int h, void *src, int type, shim_status *s);

int shim_layers(GDALDatasetH ds, shim_status *s);
int shim_layer_info(GDALDatasetH ds, int index, shim_layer *out, shim_status *s);
// A cursor is an OGR layer with its filters set; features come one by one.
int shim_cursor(GDALDatasetH ds, int index, const char *where, const double *bbox, shim_status *s);
// shim_next gives 1 and a feature's WKB (little-endian, 2D, linear) and fields, 0 at the end.
int shim_next(GDALDatasetH ds, int index, long long *fid, unsigned char **wkb, size_t *size, char ***fields, shim_status *s);

int shim_srs_parse(const char *text, shim_srs *out, shim_status *s);
int shim_same_srs(const char *a, const char *b, shim_status *s);
OGRCoordinateTransformationH shim_transformer(const char *from, const char *to, shim_status *s);
int shim_transform(OGRCoordinateTransformationH t, int n, double *x, double *y, int *ok, shim_status *s);

// Geometry work on WKB through GEOS.
int shim_valid(const unsigned char *wkb, size_t size, char **reason, shim_status *s);
int shim_make_valid(const unsigned char *wkb, size_t size, unsigned char **out, size_t *out_size, shim_status *s);
int shim_buffer(const unsigned char *wkb, size_t size, double distance, int segments, unsigned char **out, size_t *out_size, shim_status *s);
int shim_from_json(const char *text, unsigned char **out, size_t *out_size, shim_status *s);

double shim_ring_area(double a, double f, int n, const double *lon, const double *lat, double *perimeter);
double shim_distance(double a, double f, double lon1, double lat1, double lon2, double lat2, double *azimuth1, double *azimuth2);

#endif
