#include "shim.h"

#include <stdlib.h>
#include <string.h>

#include "cpl_conv.h"
#include "cpl_error.h"
#include "cpl_string.h"
#include "gdal.h"
#include "ogr_srs_api.h"

static void append(tk_bytes *b, const void *data, size_t size) {
  if (b->size + size > b->room) {
    b->room = 2 * (b->size + size) + 64;
    b->data = CPLRealloc(b->data, b->room);
  }
  if (size > 0) memcpy(b->data + b->size, data, size);
  b->size += size;
}

void tk_put_int(tk_bytes *b, int64_t v) { append(b, &v, sizeof v); }
void tk_put_float(tk_bytes *b, double v) { append(b, &v, sizeof v); }

void tk_put_bytes(tk_bytes *b, const void *data, size_t size) {
  tk_put_int(b, (int64_t)size);
  append(b, data, size);
}

void tk_put_text(tk_bytes *b, const char *text) {
  tk_put_bytes(b, text, text == NULL ? 0 : strlen(text));
}

// A file can be bad in a million places; 32 messages are enough to say so.
void tk_log(tk_bytes *log, int class, int number, const char *message) {
  if (log->size > 32 * 1024) return;
  tk_put_int(log, class);
  tk_put_int(log, number);
  tk_put_text(log, message);
}

static void CPL_STDCALL collect(CPLErr class, CPLErrorNum number, const char *message) {
  if (class != CE_Debug) tk_log(CPLGetErrorHandlerUserData(), class, number, message);
}

void tk_begin(tk_reply *r) {
  memset(r, 0, sizeof *r);
  CPLPushErrorHandlerEx(collect, &r->log);
  CPLSetCurrentErrorHandlerCatchDebug(FALSE);
}

tk_reply tk_end(tk_reply *r) {
  CPLPopErrorHandler();
  CPLErrorReset();
  return *r;
}

static void set_unless_set(const char *key, const char *value) {
  if (CPLGetConfigOption(key, NULL) == NULL) CPLSetConfigOption(key, value);
}

// A local file may describe a service on the network. Those that do nothing else
// are left out; addresses that a project names itself (PG:, /vsicurl/) still work.
static const char *const services[] = {
    "WCS", "WMS", "WMTS", "HTTP", "WFS", "OAPIF", "CSW", "DAAS", "EEDA", "EEDAI", "PLMOSAIC",
    "PLScenes", "NGW", "Carto", "AmigoCloud", "Elasticsearch", "STACTA", "STACIT", "RASTERLITE", NULL};

void tk_init(void) {
  CPLSetErrorHandler(CPLQuietErrorHandler);
  // Bytes must not depend on the caller's environment.
  CPLSetConfigOption("GDAL_NUM_THREADS", "1");
  CPLSetConfigOption("OGR_CT_OP_SELECTION", "PROJ");  // by point; the others look at the whole batch
  CPLSetConfigOption("OGR_CT_FORCE_TRADITIONAL_GIS_ORDER", "YES");
  // Data must not run code.
  CPLSetConfigOption("GDAL_DRIVER_PATH", "disable");
  CPLSetConfigOption("GDAL_VRT_ENABLE_PYTHON", "NO");
  CPLSetConfigOption("OGR_SQLITE_LOAD_EXTENSIONS", "");
  // Nothing waits for ever, nor takes a twentieth of the machine's memory.
  set_unless_set("GDAL_HTTP_CONNECTTIMEOUT", "20");
  set_unless_set("GDAL_HTTP_TIMEOUT", "120");
  set_unless_set("GDAL_CACHEMAX", "256");
  OSRSetPROJEnableNetwork(FALSE);
  GDALAllRegister();
  for (int i = 0; services[i] != NULL; i++) {
    GDALDriverH driver = GDALGetDriverByName(services[i]);
    if (driver != NULL) GDALDeregisterDriver(driver);
  }
}

const char *tk_version(void) { return GDALVersionInfo("RELEASE_NAME"); }
