#include <string.h>

#include "cpl_error.h"
#include "shim.h"

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

static void collect(const char *message, void *log) { tk_log(log, CE_Failure, 0, message); }

// The functions here call GEOS with a handle of their own and read what OGC
// calls well-known binary.
static GEOSContextHandle_t begin(tk_reply *r) {
  memset(r, 0, sizeof *r);
  GEOSContextHandle_t geos = GEOS_init_r();
  GEOSContext_setErrorMessageHandler_r(geos, collect, &r->log);
  return geos;
}

static GEOSGeometry *decode(GEOSContextHandle_t geos, const void *wkb, size_t size) {
  GEOSWKBReader *reader = GEOSWKBReader_create_r(geos);
  GEOSGeometry *g = GEOSWKBReader_read_r(geos, reader, wkb, size);
  GEOSWKBReader_destroy_r(geos, reader);
  return g;
}

static tk_reply finish(GEOSContextHandle_t geos, tk_reply *r, GEOSGeometry *given, GEOSGeometry *made) {
  size_t size = 0;
  unsigned char *wkb = NULL;
  if (made != NULL) {
    GEOSWKBWriter *writer = GEOSWKBWriter_create_r(geos);
    GEOSWKBWriter_setByteOrder_r(geos, writer, GEOS_WKB_NDR);
    wkb = GEOSWKBWriter_write_r(geos, writer, made, &size);
    GEOSWKBWriter_destroy_r(geos, writer);
  }
  r->ok = wkb != NULL;
  if (r->ok) tk_put_bytes(&r->out, wkb, size);
  GEOSFree_r(geos, wkb);
  GEOSGeom_destroy_r(geos, made);
  GEOSGeom_destroy_r(geos, given);
  GEOS_finish_r(geos);
  return *r;
}

tk_reply tk_valid(const void *wkb, size_t size) {
  tk_reply r;
  GEOSContextHandle_t geos = begin(&r);
  GEOSGeometry *g = decode(geos, wkb, size), *at = NULL;
  char *reason = NULL;
  int valid = g == NULL ? 2 : GEOSisValidDetail_r(geos, g, 0, &reason, &at);
  r.ok = valid != 2;
  tk_put_int(&r.out, valid == 1);
  tk_put_text(&r.out, reason);
  double x = 0, y = 0;
  if (at != NULL) {
    GEOSGeomGetX_r(geos, at, &x);
    GEOSGeomGetY_r(geos, at, &y);
  }
  tk_put_float(&r.out, x);
  tk_put_float(&r.out, y);
  GEOSFree_r(geos, reason);
  GEOSGeom_destroy_r(geos, at);
  GEOSGeom_destroy_r(geos, g);
  GEOS_finish_r(geos);
  return r;
}

tk_reply tk_make_valid(const void *wkb, size_t size) {
  tk_reply r;
  GEOSContextHandle_t geos = begin(&r);
  GEOSGeometry *g = decode(geos, wkb, size);
  GEOSMakeValidParams *how = GEOSMakeValidParams_create_r(geos);
  GEOSMakeValidParams_setMethod_r(geos, how, GEOS_MAKE_VALID_STRUCTURE);
  GEOSMakeValidParams_setKeepCollapsed_r(geos, how, 0);
  GEOSGeometry *made = g == NULL ? NULL : GEOSMakeValidWithParams_r(geos, g, how);
  GEOSMakeValidParams_destroy_r(geos, how);
  return finish(geos, &r, g, made);
}

tk_reply tk_buffer(const void *wkb, size_t size, double width, int segments) {
  tk_reply r;
  GEOSContextHandle_t geos = begin(&r);
  GEOSGeometry *g = decode(geos, wkb, size);
  return finish(geos, &r, g, g == NULL ? NULL : GEOSBuffer_r(geos, g, width, segments));
}
