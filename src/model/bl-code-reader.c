/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Codes in a picture, by the zbar library. It finds QR codes at any angle, and bars that run roughly along or across
 * the picture, and takes noise of a few per cent for edges. So a picture in which nothing was found is averaged over
 * three by three pixels, then turned by a half, a quarter and three quarters of a right angle, and looked at again. A photo of twelve million pixels is looked at in a small copy first: noise between the
 * bars is averaged away, and it is ten times as quick; then as it is, for small codes on a large board.
 *
 * Kinds of bars that have no check digit and match noise (interleaved 2 of 5, Codabar, EAN additions) are left out; they do
 * not stand on boards. Data Matrix is not among what the library reads. */
#include "config.h"

#include "bl-code-reader.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>
#include <zbar.h>

#define SMALL 1400 /* longest side of the small copy, px */
#define LEAST_CODE39 3

typedef struct
{
  guint8 *pixels; /* rows of width bytes */
  guint width, height;
} Grey;

static void
grey_clear (Grey *grey)
{
  g_clear_pointer (&grey->pixels, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Grey, grey_clear)

void
bl_code_free (BlCode *code)
{
  if (code == NULL)
    return;
  g_free (code->symbology);
  g_free (code->text);
  g_free (code);
}

static GPtrArray *
new_codes (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) bl_code_free);
}

static zbar_image_scanner_t *
new_scanner (void)
{
  static const zbar_symbol_type_t read[] = { ZBAR_EAN13, ZBAR_EAN8, ZBAR_UPCA,   ZBAR_CODE39,  ZBAR_CODE93,
                                             ZBAR_CODE128, ZBAR_DATABAR, ZBAR_DATABAR_EXP, ZBAR_QRCODE };
  zbar_image_scanner_t *scanner = zbar_image_scanner_create ();

  zbar_image_scanner_set_config (scanner, 0, ZBAR_CFG_ENABLE, 0);
  for (guint i = 0; i < G_N_ELEMENTS (read); i++)
    zbar_image_scanner_set_config (scanner, read[i], ZBAR_CFG_ENABLE, 1);
  zbar_image_scanner_set_config (scanner, ZBAR_CODE39, ZBAR_CFG_MIN_LEN, LEAST_CODE39);
  return scanner;
}

static const char *
gs1_mark (const zbar_symbol_t *symbol)
{
  if ((zbar_symbol_get_modifiers (symbol) & (1u << ZBAR_MOD_GS1)) == 0)
    return "";
  return zbar_symbol_get_type (symbol) == ZBAR_QRCODE ? "]Q3" : "]C1";
}

static void
add_code (GPtrArray *codes, const zbar_symbol_t *symbol)
{
  zbar_symbol_type_t type = zbar_symbol_get_type (symbol);
  g_autofree char *data = g_strndup (zbar_symbol_get_data (symbol), zbar_symbol_get_data_length (symbol));
  g_autofree char *valid = g_utf8_make_valid (data, -1);
  /* DataBar holds GS1 fields by what it is. */
  const char *mark = type == ZBAR_DATABAR || type == ZBAR_DATABAR_EXP ? "]e0" : gs1_mark (symbol);
  g_autofree char *text = g_strconcat (mark, valid, NULL);

  /* Noise is read as a code that says nothing: begin, check character 1, end. */
  if (*g_strstrip (valid) == '\0')
    return;
  for (guint i = 0; i < codes->len; i++)
    if (g_str_equal (((const BlCode *) g_ptr_array_index (codes, i))->text, text))
      return;
  BlCode *code = g_new0 (BlCode, 1);
  code->symbology = g_strdup (zbar_get_symbol_name (type));
  code->text = g_steal_pointer (&text);
  g_ptr_array_add (codes, code);
}

static void
scan (zbar_image_scanner_t *scanner, const Grey *grey, GPtrArray *codes)
{
  zbar_image_t *image = zbar_image_create ();

  zbar_image_set_format (image, zbar_fourcc ('Y', '8', '0', '0'));
  zbar_image_set_size (image, grey->width, grey->height);
  zbar_image_set_data (image, grey->pixels, (unsigned long) grey->width * grey->height, NULL);
  if (zbar_scan_image (scanner, image) > 0)
    for (const zbar_symbol_t *symbol = zbar_image_first_symbol (image); symbol != NULL;
         symbol = zbar_symbol_next (symbol))
      add_code (codes, symbol);
  zbar_image_destroy (image);
}

/* --- copies of the picture --- */

static Grey
copy_of (const guint8 *grey, guint width, guint height, gsize stride)
{
  Grey copy = { g_malloc ((gsize) width * height), width, height };

  for (guint y = 0; y < height; y++)
    memcpy (copy.pixels + (gsize) y * width, grey + y * stride, width);
  return copy;
}

/* Means of squares of n by n. */
static Grey
smaller (const Grey *grey, guint n)
{
  Grey copy = { NULL, grey->width / n, grey->height / n };

  copy.pixels = g_malloc ((gsize) copy.width * copy.height);
  for (guint y = 0; y < copy.height; y++)
    for (guint x = 0; x < copy.width; x++)
      {
        guint sum = 0;
        for (guint row = 0; row < n; row++)
          for (guint column = 0; column < n; column++)
            sum += grey->pixels[(gsize) (y * n + row) * grey->width + x * n + column];
        copy.pixels[(gsize) y * copy.width + x] = (guint8) (sum / (n * n));
      }
  return copy;
}

/* Each pixel the mean of itself and those around it; the outermost stay. */
static Grey
smooth (const Grey *grey)
{
  Grey copy = copy_of (grey->pixels, grey->width, grey->height, grey->width);
  gsize width = grey->width;

  for (guint y = 1; y + 1 < grey->height; y++)
    for (guint x = 1; x + 1 < grey->width; x++)
      {
        const guint8 *at = grey->pixels + y * width + x;
        const guint8 *above = at - width, *below = at + width;
        guint sum = at[-1] + at[0] + at[1] + above[-1] + above[0] + above[1] + below[-1] + below[0] + below[1];
        copy.pixels[y * width + x] = (guint8) (sum / 9);
      }
  return copy;
}

/* Between the four pixels around a place; white beyond the edges. */
static guint8
between (const Grey *grey, double x, double y)
{
  double left = floor (x), top = floor (y), right = x - left, below = y - top;

  if (left < 0 || top < 0 || left + 1 >= grey->width || top + 1 >= grey->height)
    return 255;
  const guint8 *at = grey->pixels + (gsize) top * grey->width + (gsize) left;
  return (guint8) ((at[0] * (1 - right) + at[1] * right) * (1 - below)
                   + (at[grey->width] * (1 - right) + at[grey->width + 1] * right) * below);
}

/* As it is, then smoothed. */
static void
find_upright (zbar_image_scanner_t *scanner, const Grey *grey, GPtrArray *codes)
{
  scan (scanner, grey, codes);
  if (codes->len > 0)
    return;
  g_auto (Grey) copy = smooth (grey);
  scan (scanner, &copy, codes);
}

/* Turned by angle, rad; the copy holds the whole picture. */
static Grey
turned (const Grey *grey, double angle)
{
  double c = cos (angle), s = sin (angle), w = grey->width, h = grey->height;
  Grey copy = { NULL, (guint) ceil (w * fabs (c) + h * fabs (s)), (guint) ceil (w * fabs (s) + h * fabs (c)) };

  copy.pixels = g_malloc ((gsize) copy.width * copy.height);
  for (guint y = 0; y < copy.height; y++)
    for (guint x = 0; x < copy.width; x++)
      {
        double dx = x - copy.width / 2.0, dy = y - copy.height / 2.0;
        copy.pixels[(gsize) y * copy.width + x] = between (grey, w / 2 + dx * c + dy * s, h / 2 - dx * s + dy * c);
      }
  return copy;
}

static gboolean
find_turned (zbar_image_scanner_t *scanner, const Grey *grey, GPtrArray *codes, GCancellable *cancellable)
{
  static const double angles[] = { 45, 22.5, 67.5 };

  for (guint i = 0; i < G_N_ELEMENTS (angles) && codes->len == 0; i++)
    {
      if (g_cancellable_is_cancelled (cancellable))
        return FALSE;
      g_auto (Grey) copy = turned (grey, angles[i] * G_PI / 180);
      find_upright (scanner, &copy, codes);
    }
  return TRUE;
}

GPtrArray *
bl_codes_read (const guint8 *grey, guint width, guint height, gsize stride, GCancellable *cancellable)
{
  g_return_val_if_fail (grey != NULL && width > 0 && height > 0 && stride >= width, NULL);
  g_autoptr (GPtrArray) codes = new_codes ();
  g_auto (Grey) whole = copy_of (grey, width, height, stride);
  guint n = (MAX (width, height) + SMALL - 1) / SMALL;
  g_auto (Grey) small = n > 1 ? smaller (&whole, n) : (Grey){ NULL, 0, 0 };
  zbar_image_scanner_t *scanner = new_scanner ();
  gboolean go_on = TRUE;

  if (n > 1)
    find_upright (scanner, &small, codes);
  go_on = !g_cancellable_is_cancelled (cancellable);
  if (go_on)
    find_upright (scanner, &whole, codes);
  if (go_on && codes->len == 0 && n > 1)
    go_on = find_turned (scanner, &small, codes, cancellable);
  /* Turning sixty million pixels takes too long for what it could still find. */
  if (go_on && codes->len == 0 && n <= 3)
    go_on = find_turned (scanner, &whole, codes, cancellable);
  zbar_image_scanner_destroy (scanner);
  return go_on ? g_steal_pointer (&codes) : NULL;
}

GPtrArray *
bl_codes_read_frame (const guint8 *grey, guint width, guint height, gsize stride)
{
  g_return_val_if_fail (grey != NULL && width > 0 && height > 0 && stride >= width, NULL);
  GPtrArray *codes = new_codes ();
  g_auto (Grey) copy = copy_of (grey, width, height, stride);
  zbar_image_scanner_t *scanner = new_scanner ();

  find_upright (scanner, &copy, codes);
  zbar_image_scanner_destroy (scanner);
  return codes;
}

/* --- image files --- */

/* Weights of ITU-R BT.601 (from memory), in 256ths. What is see-through counts as white paper. */
static Grey
grey_of (GdkPixbuf *pixbuf)
{
  int width = gdk_pixbuf_get_width (pixbuf), height = gdk_pixbuf_get_height (pixbuf);
  int channels = gdk_pixbuf_get_n_channels (pixbuf), stride = gdk_pixbuf_get_rowstride (pixbuf);
  const guint8 *pixels = gdk_pixbuf_read_pixels (pixbuf);
  Grey grey = { g_malloc ((gsize) width * (gsize) height), (guint) width, (guint) height };

  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      {
        const guint8 *at = pixels + (gsize) y * (gsize) stride + (gsize) x * (gsize) channels;
        guint light = (77u * at[0] + 150u * at[1] + 29u * at[2]) >> 8, alpha = channels == 4 ? at[3] : 255;
        grey.pixels[(gsize) y * (gsize) width + (gsize) x] = (guint8) ((light * alpha + 255 * (255 - alpha)) / 255);
      }
  return grey;
}

GPtrArray *
bl_codes_read_image (GBytes *image, GCancellable *cancellable, GError **error)
{
  g_return_val_if_fail (image != NULL, NULL);
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_bytes (image);
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new_from_stream (stream, cancellable, error);

  if (pixbuf == NULL)
    return NULL;
  g_auto (Grey) grey = grey_of (pixbuf);
  GPtrArray *codes = bl_codes_read (grey.pixels, grey.width, grey.height, grey.width, cancellable);
  if (codes == NULL)
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, _ ("reading the codes was cancelled"));
  return codes;
}

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  GPtrArray *codes = bl_codes_read_image (data, cancellable, &error);

  if (codes != NULL)
    g_task_return_pointer (task, codes, (GDestroyNotify) g_ptr_array_unref);
  else
    g_task_return_error (task, error);
}

void
bl_codes_read_image_async (GBytes *image, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  g_return_if_fail (image != NULL);
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);

  g_task_set_source_tag (task, bl_codes_read_image_async);
  g_task_set_task_data (task, g_bytes_ref (image), (GDestroyNotify) g_bytes_unref);
  g_task_run_in_thread (task, read_in_thread);
}

GPtrArray *
bl_codes_read_image_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
