#include "cpl_conv.h"
#include "gdal.h"
#include "ogr_api.h"
#include "ogr_srs_api.h"
#include "shim.h"

tk_reply tk_layers(void *dataset) {
  tk_reply r;
  tk_begin(&r);
  int n = GDALDatasetGetLayerCount(dataset);
  tk_put_int(&r.out, n);
  for (int i = 0; i < n; i++) tk_put_text(&r.out, OGR_L_GetName(GDALDatasetGetLayer(dataset, i)));
  r.ok = 1;
  return tk_end(&r);
}

tk_reply tk_layer(void *dataset, const char *name) {
  tk_reply r;
  tk_begin(&r);
  OGRLayerH layer = GDALDatasetGetLayerByName(dataset, name);
  r.handle = layer;
  r.ok = layer != NULL;
  if (r.ok) {
    OGRFeatureDefnH fields = OGR_L_GetLayerDefn(layer);
    int n = OGR_FD_GetFieldCount(fields);
    tk_put_text(&r.out, OGR_L_GetName(layer));
    tk_put_int(&r.out, OGR_L_GetFeatureCount(layer, FALSE));
    tk_put_text(&r.out, OGRGeometryTypeToName(OGR_L_GetGeomType(layer)));
    tk_put_srs(&r.out, OGR_L_GetSpatialRef(layer));
    tk_put_int(&r.out, n);
    for (int i = 0; i < n; i++) {
      OGRFieldDefnH field = OGR_FD_GetFieldDefn(fields, i);
      tk_put_text(&r.out, OGR_Fld_GetNameRef(field));
      tk_put_text(&r.out, OGR_GetFieldTypeName(OGR_Fld_GetType(field)));
    }
  }
  return tk_end(&r);
}

tk_reply tk_query(void *layer, const char *where, const double *bound) {
  tk_reply r;
  tk_begin(&r);
  r.ok = OGR_L_SetAttributeFilter(layer, where[0] == 0 ? NULL : where) == OGRERR_NONE;
  if (bound == NULL)
    OGR_L_SetSpatialFilter(layer, NULL);
  else
    OGR_L_SetSpatialFilterRect(layer, bound[0], bound[1], bound[2], bound[3]);
  OGR_L_ResetReading(layer);
  return tk_end(&r);
}

// put_geometry puts flat WKB with straight edges; no bytes for no geometry.
static int put_geometry(tk_bytes *out, OGRGeometryH geometry) {
  if (geometry == NULL || OGR_G_IsEmpty(geometry)) {
    tk_put_text(out, NULL);
    return 1;
  }
  OGRGeometryH flat = OGR_G_GetLinearGeometry(geometry, 0, NULL);
  if (flat == NULL) return 0;
  OGR_G_FlattenTo2D(flat);
  OGR_G_SetMeasured(flat, FALSE);
  size_t size = OGR_G_WkbSizeEx(flat);
  unsigned char *wkb = VSI_MALLOC_VERBOSE(size);
  int ok = wkb != NULL && OGR_G_ExportToIsoWkb(flat, wkbNDR, wkb) == OGRERR_NONE;
  if (ok) tk_put_bytes(out, wkb, size);
  VSIFree(wkb);
  OGR_G_DestroyGeometry(flat);
  return ok;
}

tk_reply tk_next(void *layer) {
  tk_reply r;
  tk_begin(&r);
  OGRFeatureH feature = OGR_L_GetNextFeature(layer);
  r.ok = 1;
  tk_put_int(&r.out, feature != NULL);
  if (feature != NULL) {
    tk_put_int(&r.out, OGR_F_GetFID(feature));
    r.ok = put_geometry(&r.out, OGR_F_GetGeometryRef(feature));
    int n = OGR_F_GetFieldCount(feature);
    for (int i = 0; r.ok && i < n; i++) {
      int set = OGR_F_IsFieldSetAndNotNull(feature, i);
      tk_put_int(&r.out, set);
      if (set) tk_put_text(&r.out, OGR_F_GetFieldAsString(feature, i));
    }
    OGR_F_Destroy(feature);
  }
  return tk_end(&r);
}
