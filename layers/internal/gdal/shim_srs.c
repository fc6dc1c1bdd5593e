#include <math.h>
#include <string.h>

#include "cpl_conv.h"
#include "cpl_error.h"
#include "cpl_string.h"
#include "geodesic.h"
#include "ogr_srs_api.h"
#include "proj.h"
#include "shim.h"

// put_srs puts a flat system, its axes x, y; the WKT is empty for none.
void tk_put_srs(tk_bytes *out, void *given) {
  char *wkt = NULL;
  const char *format[] = {"FORMAT=WKT2_2019", "MULTILINE=NO", NULL};
  OGRSpatialReferenceH srs = given == NULL ? NULL : OSRClone(given);
  if (srs != NULL) {
    OSRSetAxisMappingStrategy(srs, OAMS_TRADITIONAL_GIS_ORDER);
    OSRStripVertical(srs);
    OSRDemoteTo2D(srs, NULL);
    OSRExportToWktEx(srs, &wkt, format);
  }
  tk_put_text(out, wkt);
  CPLFree(wkt);
  if (srs == NULL) return;
  int angular = OSRIsGeographic(srs), local = OSRIsLocal(srs);
  OGRErr err = OGRERR_NONE;
  tk_put_text(out, OSRGetAuthorityName(srs, NULL));
  tk_put_text(out, OSRGetAuthorityCode(srs, NULL));
  tk_put_text(out, OSRGetName(srs));
  tk_put_int(out, OSRIsProjected(srs));
  tk_put_int(out, angular);
  tk_put_int(out, local);
  tk_put_float(out, angular ? OSRGetAngularUnits(srs, NULL) : OSRGetLinearUnits(srs, NULL));
  tk_put_float(out, local ? 0 : OSRGetSemiMajor(srs, &err));
  tk_put_float(out, local ? 0 : OSRGetInvFlattening(srs, &err));
  OSRRelease(srs);
}

// registered is the WKT of an authority's code from a PROJ context of its own; NULL
// where the text is no code. GDAL's contexts belong to threads and remember: once
// a GeoTIFF was opened on a thread, its ensembles of datums are plain datums there
// (PROJ 9.1 remembers a datum that was asked for as such under the code of the
// ensemble), and the text of a code would depend on the thread.
static char *registered(const char *text) {
  const char *colon = strchr(text, ':');
  if (colon == NULL || strspn(colon + 1, "0123456789") != strlen(colon + 1)) return NULL;
  PJ_CONTEXT *context = proj_context_create();
  char **paths = OSRGetPROJSearchPaths();
  proj_context_set_search_paths(context, CSLCount(paths), (const char *const *)paths);
  proj_log_level(context, PJ_LOG_NONE);
  PJ *p = proj_create(context, text);
  const char *wkt = p == NULL ? NULL : proj_as_wkt(context, p, PJ_WKT2_2019, NULL);
  char *kept = wkt == NULL ? NULL : CPLStrdup(wkt);
  proj_destroy(p);
  proj_context_destroy(context);
  CSLDestroy(paths);
  return kept;
}

// parse must not be given the name of a file or an address, which GDAL would
// open: srs.go sees to that.
static OGRSpatialReferenceH parse(const char *text) {
  OGRSpatialReferenceH srs = OSRNewSpatialReference(NULL);
  OSRSetAxisMappingStrategy(srs, OAMS_TRADITIONAL_GIS_ORDER);
  char *wkt = registered(text);
  OGRErr err = OSRSetFromUserInput(srs, wkt == NULL ? text : wkt);
  CPLFree(wkt);
  if (err == OGRERR_NONE) return srs;
  OSRRelease(srs);
  return NULL;
}

tk_reply tk_srs(const char *text, int geographic) {
  tk_reply r;
  tk_begin(&r);
  OGRSpatialReferenceH srs = parse(text);
  if (srs != NULL && geographic) {
    OGRSpatialReferenceH base = OSRCloneGeogCS(srs);
    OSRRelease(srs);
    srs = base;
  }
  r.ok = srs != NULL;
  if (r.ok) {
    tk_put_srs(&r.out, srs);
    OSRRelease(srs);
  }
  return tk_end(&r);
}

tk_reply tk_srs_same(const char *a, const char *b) {
  tk_reply r;
  tk_begin(&r);
  const char *options[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES", "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS", NULL};
  OGRSpatialReferenceH x = parse(a), y = parse(b);
  r.ok = x != NULL && y != NULL;
  if (r.ok) tk_put_int(&r.out, OSRIsSameEx(x, y, options));
  if (x != NULL) OSRRelease(x);
  if (y != NULL) OSRRelease(y);
  return tk_end(&r);
}

tk_reply tk_transform_new(const char *from, const char *to) {
  tk_reply r;
  tk_begin(&r);
  OGRSpatialReferenceH x = parse(from), y = parse(to);
  if (x != NULL && y != NULL) r.handle = OCTNewCoordinateTransformation(x, y);
  r.ok = r.handle != NULL;
  if (x != NULL) OSRRelease(x);
  if (y != NULL) OSRRelease(y);
  return tk_end(&r);
}

// tk_transform tells by point what failed; the messages about points are of no
// further use. Points that are not finite are kept from PROJ: it fails on some
// of them without a word.
tk_reply tk_transform(void *transform, int n, double *xs, double *ys, uint8_t *failed) {
  tk_reply r;
  tk_begin(&r);
  int *done = VSI_CALLOC_VERBOSE(n, sizeof *done);
  r.ok = done != NULL;
  for (int i = 0; r.ok && i < n; i++) {
    failed[i] = !isfinite(xs[i]) || !isfinite(ys[i]);
    if (failed[i]) xs[i] = ys[i] = 0;
  }
  if (r.ok) {
    OCTTransformEx(transform, n, xs, ys, NULL, done);
    for (int i = 0; i < n; i++) failed[i] |= !done[i] || !isfinite(xs[i]) || !isfinite(ys[i]);
    CPLFree(r.log.data);
    memset(&r.log, 0, sizeof r.log);
  }
  VSIFree(done);
  return tk_end(&r);
}

void tk_transform_free(void *transform) { OCTDestroyCoordinateTransformation(transform); }

static void proj_collect(void *log, int level, const char *message) {
  if (level == PJ_LOG_ERROR) tk_log(log, CE_Failure, 0, message);
}

static PJ_CONTEXT *proj_begin(tk_reply *r) {
  memset(r, 0, sizeof *r);
  PJ_CONTEXT *context = proj_context_create();
  proj_log_func(context, &r->log, proj_collect);
  proj_log_level(context, PJ_LOG_ERROR);
  proj_context_set_enable_network(context, 0);
  return context;
}

// visual is a transform whose axes run x, y; it takes over what it is given.
static PJ *visual(PJ_CONTEXT *context, PJ *transform) {
  PJ *ordered = transform == NULL ? NULL : proj_normalize_for_visualization(context, transform);
  proj_destroy(transform);
  return ordered;
}

tk_reply tk_shift(const char *from, const char *to, double x, double y) {
  tk_reply r;
  PJ_CONTEXT *context = proj_begin(&r);
  PJ *transform = visual(context, proj_create_crs_to_crs(context, from, to, NULL));
  if (transform != NULL) {
    PJ_COORD moved = proj_trans(transform, PJ_FWD, proj_coord(x, y, 0, HUGE_VAL));
    PJ *used = proj_trans_get_last_used_operation(transform);
    r.ok = used != NULL && isfinite(moved.xy.x) && isfinite(moved.xy.y);
    if (r.ok) {
      tk_put_text(&r.out, proj_pj_info(used).description);
      tk_put_float(&r.out, proj_coordoperation_get_accuracy(context, used));
      tk_put_int(&r.out, proj_coordoperation_has_ballpark_transformation(context, used));
    }
    proj_destroy(used);
  }
  proj_destroy(transform);
  proj_context_destroy(context);
  return r;
}

tk_reply tk_scale(const char *wkt, double x, double y) {
  tk_reply r;
  PJ_CONTEXT *context = proj_begin(&r);
  PJ *crs = proj_create(context, wkt);
  PJ *base = crs == NULL ? NULL : proj_crs_get_geodetic_crs(context, crs);
  PJ *inverse = base == NULL ? NULL : visual(context, proj_create_crs_to_crs_from_pj(context, crs, base, NULL, NULL));
  if (inverse != NULL) {
    PJ_COORD place = proj_trans(inverse, PJ_FWD, proj_coord(x, y, 0, HUGE_VAL));
    PJ_FACTORS k = proj_factors(crs, proj_coord(proj_torad(place.lp.lam), proj_torad(place.lp.phi), 0, 0));
    r.ok = isfinite(place.lp.lam) && proj_errno(crs) == 0;
    tk_put_float(&r.out, k.tissot_semimajor);
    tk_put_float(&r.out, k.tissot_semiminor);
  }
  proj_destroy(inverse);
  proj_destroy(base);
  proj_destroy(crs);
  proj_context_destroy(context);
  return r;
}

double tk_polygon_area(double a, double f, int n, double *lons, double *lats, double *perimeter) {
  struct geod_geodesic g;
  double area = 0;
  geod_init(&g, a, f);
  geod_polygonarea(&g, lats, lons, n, &area, perimeter);
  return area;
}

double tk_distance(double a, double f, double lon1, double lat1, double lon2, double lat2) {
  struct geod_geodesic g;
  double metres = 0;
  geod_init(&g, a, f);
  geod_inverse(&g, lat1, lon1, lat2, lon2, &metres, NULL, NULL);
  return metres;
}
