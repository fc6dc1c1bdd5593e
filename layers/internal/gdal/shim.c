#include "shim.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <geodesic.h>
#include <string.h>

static void collect(CPLErr kind, CPLErrorNum number, const char *text) {
	shim_status *s = CPLGetErrorHandlerUserData();
	if (kind >= CE_Failure && !s->failed) {
		s->failed = 1;
		s->number = (int)number;
		snprintf(s->text, sizeof s->text, "%s", text);
	} else if (kind == CE_Warning && !s->warned) {
		s->warned = 1;
		snprintf(s->warning, sizeof s->warning, "%s", text);
	}
}

static void begin(shim_status *s) {
	memset(s, 0, sizeof *s);
	CPLPushErrorHandlerEx(collect, s);
}

// end counts a failure that was reported even where the call returned success,
// and a return code of failure even where nothing was reported.
static int end(shim_status *s, int ok) {
	CPLPopErrorHandler();
	if (!ok && !s->failed) {
		s->failed = 1;
		snprintf(s->text, sizeof s->text, "%s", s->warned ? s->warning : "no reason given");
	}
	return !s->failed;
}

static char *copy(const char *text) { return CPLStrdup(text ? text : ""); }

void shim_init(void) {
	GDALAllRegister();
	// the names beside a raster are ours to read, never ours to write by reading
	CPLSetConfigOption("GDAL_PAM_ENABLED", "YES");
	CPLSetConfigOption("OGR_CURRENT_DATE", "1970-01-01T00:00:00.000Z"); // so that bytes repeat
}

void shim_free(void *p) { CPLFree(p); }
void shim_free_list(char **list) { CSLDestroy(list); }

GDALDatasetH shim_open(const char *path, unsigned flags, char **options, shim_status *s) {
	begin(s);
	GDALDatasetH ds = GDALOpenEx(path, flags, NULL, (const char *const *)options, NULL);
	if (!end(s, ds != NULL)) {
		if (ds) GDALClose(ds);
		return NULL;
	}
	return ds;
}

int shim_close(GDALDatasetH ds, shim_status *s) {
	begin(s);
	GDALFlushCache(ds);
	GDALClose(ds);
	return end(s, 1);
}

int shim_get_info(GDALDatasetH ds, shim_info *out, shim_status *s) {
	begin(s);
	memset(out, 0, sizeof *out);
	GDALGetMetadata(ds, NULL); // GDAL 3.6 reads the file beside a GeoTIFF only when asked for metadata
	out->cols = GDALGetRasterXSize(ds);
	out->rows = GDALGetRasterYSize(ds);
	out->bands = GDALGetRasterCount(ds);
	out->has_affine = GDALGetGeoTransform(ds, out->affine) == CE_None;
	char *wkt = NULL;
	OGRSpatialReferenceH srs = GDALGetSpatialRef(ds);
	if (srs) {
		const char *options[] = {"FORMAT=WKT2_2019", "MULTILINE=NO", NULL};
		OSRExportToWktEx(srs, &wkt, options);
	}
	out->wkt = wkt ? wkt : copy("");
	out->driver = (char *)GDALGetDriverShortName(GDALGetDatasetDriver(ds));
	out->raster = out->bands > 0;
	out->vector = GDALDatasetGetLayerCount(ds) > 0;
	return end(s, 1);
}

static int column(GDALRasterAttributeTableH rat, GDALRATFieldUsage usage) { return GDALRATGetColOfUsage(rat, usage); }

// value_column is the column of usage MinMax or Min, else a first whole-number one.
static int value_column(GDALRasterAttributeTableH rat) {
	int c = column(rat, GFU_MinMax);
	if (c < 0) c = column(rat, GFU_Min);
	for (int i = 0; c < 0 && i < GDALRATGetColumnCount(rat); i++)
		if (EQUAL(GDALRATGetNameOfCol(rat, i), "value")) c = i;
	return c;
}

static int name_column(GDALRasterAttributeTableH rat) {
	int c = column(rat, GFU_Name);
	for (int i = 0; c < 0 && i < GDALRATGetColumnCount(rat); i++)
		if (GDALRATGetTypeOfCol(rat, i) == GFT_String) c = i;
	return c;
}

static void read_rat(GDALRasterBandH band, shim_band *out) {
	GDALRasterAttributeTableH rat = GDALGetDefaultRAT(band);
	if (!rat) return;
	int value = value_column(rat), name = name_column(rat), rows = GDALRATGetRowCount(rat);
	if (name < 0 || rows <= 0 || rows > 1000000) return;
	int rgb[3] = {column(rat, GFU_Red), column(rat, GFU_Green), column(rat, GFU_Blue)};
	out->rat_rows = rows;
	out->rat_value = CPLMalloc(sizeof(int) * rows);
	out->rat_name = CPLCalloc(sizeof(char *), rows + 1);
	out->rat_rgb = CPLMalloc(sizeof(short) * 3 * rows);
	for (int i = 0; i < rows; i++) {
		out->rat_value[i] = value < 0 ? i : GDALRATGetValueAsInt(rat, i, value);
		out->rat_name[i] = copy(GDALRATGetValueAsString(rat, i, name));
		for (int k = 0; k < 3; k++) {
			if (rgb[k] < 0) {
				out->rat_rgb[3 * i + k] = -1;
				continue;
			}
			double v = GDALRATGetValueAsDouble(rat, i, rgb[k]);
			int share = GDALRATGetTypeOfCol(rat, rgb[k]) == GFT_Real && v <= 1; // some files give 0 to 1
			out->rat_rgb[3 * i + k] = (short)(share ? v * 255 + 0.5 : v);
		}
	}
}

int shim_get_band(GDALDatasetH ds, int number, shim_band *out, shim_status *s) {
	begin(s);
	memset(out, 0, sizeof *out);
	GDALRasterBandH band = GDALGetRasterBand(ds, number);
	if (!band) return end(s, 0);
	GDALGetMetadata(ds, NULL);
	GDALGetMetadata(band, NULL);
	out->type = GDALGetRasterDataType(band);
	GDALGetBlockSize(band, &out->block_x, &out->block_y);
	out->overviews = GDALGetOverviewCount(band);
	out->nodata = GDALGetRasterNoDataValue(band, &out->has_nodata);
	out->mask_flags = GDALGetMaskFlags(band);
	int has = 0;
	double v = GDALGetRasterScale(band, &has);
	out->scale = has ? v : 1;
	v = GDALGetRasterOffset(band, &has);
	out->offset = has ? v : 0;
	out->unit = copy(GDALGetRasterUnitType(band));
	out->description = copy(GDALGetDescription(band));
	out->categories = CSLDuplicate(GDALGetRasterCategoryNames(band));
	out->names = CSLCount(out->categories);
	GDALColorTableH table = GDALGetRasterColorTable(band);
	for (int i = 0; table && i < GDALGetColorEntryCount(table) && i < 256; i++, out->colours++) {
		const GDALColorEntry *e = GDALGetColorEntry(table, i);
		short c[4] = {e->c1, e->c2, e->c3, e->c4};
		memcpy(out->rgba + 4 * i, c, sizeof c);
	}
	read_rat(band, out);
	return end(s, 1);
}

int shim_read(GDALDatasetH ds, int band, int x, int y, int w, int h, void *dst, int type, shim_status *s) {
	begin(s);
	return end(s, GDALRasterIO(GDALGetRasterBand(ds, band), GF_Read, x, y, w, h, dst, w, h, type, 0, 0) == CE_None);
}

int shim_read_mask(GDALDatasetH ds, int band, int x, int y, int w, int h, void *dst, shim_status *s) {
	begin(s);
	GDALRasterBandH mask = GDALGetMaskBand(GDALGetRasterBand(ds, band));
	return end(s, GDALRasterIO(mask, GF_Read, x, y, w, h, dst, w, h, GDT_Byte, 0, 0) == CE_None);
}

char **shim_metadata(GDALDatasetH ds, const char *domain, shim_status *s) {
	begin(s);
	char **list = CSLDuplicate(GDALGetMetadata(ds, domain));
	end(s, 1);
	return list;
}

GDALDatasetH shim_create(const char *path, int w, int h, int type, const double *affine, const char *wkt, char **options, shim_status *s) {
	begin(s);
	GDALDatasetH ds = GDALCreate(GDALGetDriverByName("GTiff"), path, w, h, 1, type, options);
	int ok = ds != NULL;
	if (ok && affine) ok = GDALSetGeoTransform(ds, (double *)affine) == CE_None;
	if (ok && wkt && *wkt) ok = GDALSetProjection(ds, wkt) == CE_None;
	if (!end(s, ok)) {
		if (ds) GDALClose(ds);
		return NULL;
	}
	return ds;
}

int shim_write(GDALDatasetH ds, int x, int y, int w, int h, void *src, int type, shim_status *s) {
	begin(s);
	return end(s, GDALRasterIO(GDALGetRasterBand(ds, 1), GF_Write, x, y, w, h, src, w, h, type, 0, 0) == CE_None);
}

int shim_layers(GDALDatasetH ds, shim_status *s) {
	begin(s);
	int n = GDALDatasetGetLayerCount(ds);
	end(s, 1);
	return n;
}

int shim_layer_info(GDALDatasetH ds, int index, shim_layer *out, shim_status *s) {
	begin(s);
	memset(out, 0, sizeof *out);
	OGRLayerH layer = GDALDatasetGetLayer(ds, index);
	if (!layer) return end(s, 0);
	out->name = copy(OGR_L_GetName(layer));
	out->geometry = (char *)OGRGeometryTypeToName(wkbFlatten(OGR_L_GetGeomType(layer)));
	out->count = OGR_L_GetFeatureCount(layer, 1);
	char *wkt = NULL;
	OGRSpatialReferenceH srs = OGR_L_GetSpatialRef(layer);
	if (srs) {
		const char *options[] = {"FORMAT=WKT2_2019", "MULTILINE=NO", NULL};
		OSRExportToWktEx(srs, &wkt, options);
	}
	out->wkt = wkt ? wkt : copy("");
	OGRFeatureDefnH def = OGR_L_GetLayerDefn(layer);
	out->fields = OGR_FD_GetFieldCount(def);
	for (int i = 0; i < out->fields; i++)
		out->field_names = CSLAddString(out->field_names, OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(def, i)));
	OGREnvelope e;
	if (out->count > 0 && OGR_L_GetExtent(layer, &e, 1) == OGRERR_NONE) {
		double box[4] = {e.MinX, e.MinY, e.MaxX, e.MaxY};
		memcpy(out->extent, box, sizeof box);
		out->has_extent = 1;
	}
	return end(s, 1);
}

int shim_cursor(GDALDatasetH ds, int index, const char *where, const double *bbox, shim_status *s) {
	begin(s);
	OGRLayerH layer = GDALDatasetGetLayer(ds, index);
	int ok = layer && OGR_L_SetAttributeFilter(layer, where && *where ? where : NULL) == OGRERR_NONE;
	if (ok && bbox) OGR_L_SetSpatialFilterRect(layer, bbox[0], bbox[1], bbox[2], bbox[3]);
	if (ok && !bbox) OGR_L_SetSpatialFilter(layer, NULL);
	if (ok) OGR_L_ResetReading(layer);
	return end(s, ok);
}

static int export_wkb(OGRGeometryH g, unsigned char **wkb, size_t *size) {
	OGR_G_FlattenTo2D(g);
	*size = OGR_G_WkbSizeEx(g);
	*wkb = CPLMalloc(*size ? *size : 1);
	return OGR_G_ExportToIsoWkb(g, wkbNDR, *wkb) == OGRERR_NONE;
}

int shim_next(GDALDatasetH ds, int index, long long *fid, unsigned char **wkb, size_t *size, char ***fields, shim_status *s) {
	begin(s);
	*wkb = NULL;
	*size = 0;
	*fields = NULL;
	OGRFeatureH f = OGR_L_GetNextFeature(GDALDatasetGetLayer(ds, index));
	if (!f) {
		end(s, 1);
		return 0;
	}
	*fid = OGR_F_GetFID(f);
	int ok = 1, n = OGR_F_GetFieldCount(f);
	char **list = CPLCalloc(sizeof(char *), n + 1);
	for (int i = 0; i < n; i++)
		list[i] = copy(OGR_F_IsFieldSetAndNotNull(f, i) ? OGR_F_GetFieldAsString(f, i) : "");
	*fields = list;
	OGRGeometryH g = OGR_F_StealGeometry(f);
	if (g && OGR_G_HasCurveGeometry(g, 1)) {
		OGRGeometryH line = OGR_G_GetLinearGeometry(g, 0, NULL);
		OGR_G_DestroyGeometry(g);
		g = line;
	}
	if (g) {
		ok = export_wkb(g, wkb, size);
		OGR_G_DestroyGeometry(g);
	}
	OGR_F_Destroy(f);
	end(s, ok);
	return 1;
}

static OGRSpatialReferenceH parse(const char *text) {
	OGRSpatialReferenceH srs = OSRNewSpatialReference(NULL);
	// no files and no network: a CRS is a code or a text, never a place to read

	if (OSRSetFromUserInput(srs, text) != OGRERR_NONE) {
		OSRRelease(srs);
		return NULL;
	}
	OSRSetAxisMappingStrategy(srs, OAMS_TRADITIONAL_GIS_ORDER);
	return srs;
}

int shim_srs_parse(const char *text, shim_srs *out, shim_status *s) {
	begin(s);
	memset(out, 0, sizeof *out);
	OGRSpatialReferenceH srs = parse(text);
	if (!srs) return end(s, 0);
	const char *options[] = {"FORMAT=WKT2_2019", "MULTILINE=NO", NULL};
	char *wkt = NULL;
	int ok = OSRExportToWktEx(srs, &wkt, options) == OGRERR_NONE;
	out->wkt = wkt ? wkt : copy("");
	out->name = copy(OSRGetName(srs));
	out->authority = copy(OSRGetAuthorityName(srs, NULL));
	out->code = copy(OSRGetAuthorityCode(srs, NULL));
	out->geographic = OSRIsGeographic(srs);
	out->projected = OSRIsProjected(srs);
	out->local = OSRIsLocal(srs);
	out->metres = out->geographic ? 0 : OSRGetLinearUnits(srs, NULL);
	OSRRelease(srs);
	return end(s, ok);
}

OGRCoordinateTransformationH shim_transformer(const char *from, const char *to, shim_status *s) {
	begin(s);
	OGRCoordinateTransformationH t = NULL;
	OGRSpatialReferenceH a = parse(from), b = a ? parse(to) : NULL;
	if (b) t = OCTNewCoordinateTransformation(a, b);
	if (a) OSRRelease(a);
	if (b) OSRRelease(b);
	if (!end(s, t != NULL)) {
		if (t) OCTDestroyCoordinateTransformation(t);
		return NULL;
	}
	return t;
}

// A point that cannot be transformed is flagged, not an error: OCTTransform can
// fail without a message, so its flags alone are believed.
int shim_transform(OGRCoordinateTransformationH t, int n, double *x, double *y, int *ok, shim_status *s) {
	begin(s);
	OCTTransformEx(t, n, x, y, NULL, ok);
	CPLPopErrorHandler();
	return 1;
}

static OGRGeometryH import_wkb(const unsigned char *wkb, size_t size) {
	OGRGeometryH g = NULL;
	if (OGR_G_CreateFromWkbEx(wkb, NULL, &g, size) != OGRERR_NONE) return NULL;
	return g;
}

int shim_valid(const unsigned char *wkb, size_t size, char **reason, shim_status *s) {
	begin(s);
	OGRGeometryH g = import_wkb(wkb, size);
	int valid = g && OGR_G_IsValid(g);
	if (g) OGR_G_DestroyGeometry(g);
	CPLPopErrorHandler();
	// GEOS says what is wrong, and where, in a warning
	*reason = copy(valid ? "" : s->warned ? s->warning : s->failed ? s->text : "not a geometry");
	return valid;
}

static int replace(OGRGeometryH g, unsigned char **out, size_t *out_size, shim_status *s) {
	int ok = g && export_wkb(g, out, out_size);
	if (g) OGR_G_DestroyGeometry(g);
	return end(s, ok);
}

int shim_make_valid(const unsigned char *wkb, size_t size, unsigned char **out, size_t *out_size, shim_status *s) {
	begin(s);
	*out = NULL;
	OGRGeometryH g = import_wkb(wkb, size), valid = g ? OGR_G_MakeValid(g) : NULL;
	if (g) OGR_G_DestroyGeometry(g);
	return replace(valid, out, out_size, s);
}

int shim_buffer(const unsigned char *wkb, size_t size, double distance, int segments, unsigned char **out, size_t *out_size, shim_status *s) {
	begin(s);
	*out = NULL;
	OGRGeometryH g = import_wkb(wkb, size), wide = g ? OGR_G_Buffer(g, distance, segments) : NULL;
	if (g) OGR_G_DestroyGeometry(g);
	return replace(wide, out, out_size, s);
}

int shim_from_json(const char *text, unsigned char **out, size_t *out_size, shim_status *s) {
	begin(s);
	*out = NULL;
	return replace(OGR_G_CreateGeometryFromJson(text), out, out_size, s);
}

double shim_ring_area(double a, double f, int n, const double *lon, const double *lat, double *perimeter) {
	struct geod_geodesic g;
	geod_init(&g, a, f);
	struct geod_polygon p;
	geod_polygon_init(&p, 0);
	for (int i = 0; i < n; i++) geod_polygon_addpoint(&g, &p, lat[i], lon[i]);
	double area = 0;
	geod_polygon_compute(&g, &p, 0, 1, &area, perimeter);
	return area;
}

double shim_distance(double a, double f, double lon1, double lat1, double lon2, double lat2, double *azimuth1, double *azimuth2) {
	struct geod_geodesic g;
	geod_init(&g, a, f);
	double d = 0;
	geod_inverse(&g, lat1, lon1, lat2, lon2, &d, azimuth1, azimuth2);
	return d;
}

int shim_same_srs(const char *a, const char *b, shim_status *s) {
	begin(s);
	OGRSpatialReferenceH x = parse(a), y = x ? parse(b) : NULL;
	const char *options[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES", "CRITERION=EQUIVALENT", NULL};
	int same = y && OSRIsSameEx(x, y, options);
	if (x) OSRRelease(x);
	if (y) OSRRelease(y);
	CPLPopErrorHandler();
	return same;
}
