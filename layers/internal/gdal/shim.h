// The C side of the binding: one function for each Go method.
#ifndef TUSSOCK_SHIM_H
#define TUSSOCK_SHIM_H

#include <stddef.h>
#include <stdint.h>

// tk_bytes is a growing packet: 64-bit integers and floats, and texts with
// their length in front, in the machine's own byte order (see packet.go).
typedef struct {
  char *data;
  size_t size, room;
} tk_bytes;

// tk_reply is what every function returns: whether it did its work, a handle or
// a packet if it makes one, and the messages that were collected meanwhile. The
// packets are malloc'd and the caller's.
typedef struct {
  int ok;
  void *handle;
  tk_bytes out, log;
} tk_reply;

typedef struct { int x, y, w, h; } tk_window;

void tk_init(void);
const char *tk_version(void);

tk_reply tk_open(const char *path, int vector);
tk_reply tk_close(void *dataset);
tk_reply tk_raster_info(void *dataset, int band);
tk_reply tk_read(void *dataset, int band, tk_window w, int type, void *cells);
tk_reply tk_read_mask(void *dataset, int band, tk_window w, uint8_t *cells);
tk_reply tk_metadata(void *dataset, const char *domain);
tk_reply tk_create(const char *path, int cols, int rows, int type, const double *affine, const char *wkt, char **options);
tk_reply tk_write(void *dataset, tk_window w, int type, void *cells);

tk_reply tk_layers(void *dataset);
tk_reply tk_layer(void *dataset, const char *name);
tk_reply tk_query(void *layer, const char *where, const double *bound);
tk_reply tk_next(void *layer);

tk_reply tk_srs(const char *text, int geographic);
tk_reply tk_srs_same(const char *a, const char *b);
tk_reply tk_transform_new(const char *from, const char *to);
tk_reply tk_transform(void *transform, int n, double *xs, double *ys, uint8_t *failed);
void tk_transform_free(void *transform);
tk_reply tk_shift(const char *from, const char *to, double x, double y);
tk_reply tk_scale(const char *wkt, double x, double y);

double tk_polygon_area(double a, double f, int n, double *lons, double *lats, double *perimeter);
double tk_distance(double a, double f, double lon1, double lat1, double lon2, double lat2);

tk_reply tk_valid(const void *wkb, size_t size);
tk_reply tk_make_valid(const void *wkb, size_t size);
tk_reply tk_buffer(const void *wkb, size_t size, double width, int segments);

// For the C files alone.
void tk_put_int(tk_bytes *b, int64_t v);
void tk_put_float(tk_bytes *b, double v);
void tk_put_bytes(tk_bytes *b, const void *data, size_t size);
void tk_put_text(tk_bytes *b, const char *text);
void tk_put_srs(tk_bytes *b, void *srs);
void tk_log(tk_bytes *log, int class, int number, const char *message);
void tk_begin(tk_reply *r);
tk_reply tk_end(tk_reply *r);

#endif
