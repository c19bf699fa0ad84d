/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job's report on paper: the order of its parts, and the passes over them.
 *
 * For the customer, who wants to know what was wrong and what was done, in plain words on a page or two; and for the
 * shop, whose next technician wants every reading with what it was judged by. It never says that a board is in order; it
 * says what was measured. The parts are in bl-report-*.c. */
#include "config.h"

#include "bl-report.h"

#include "bl-report-parts.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>
#include <string.h>

/* --- drawing --- */

static void
draw_for_customer (BlPage *page)
{
  bl_report_draw_head (page);
  bl_report_draw_found (page);
  bl_report_draw_done (page);
  bl_report_draw_pairs (page);
  bl_report_draw_tests (page);
  bl_report_draw_few_photos (page);
  bl_report_draw_untested (page);
  bl_report_draw_advice (page);
  bl_report_draw_end (page);
}

static void
draw_for_shop (BlPage *page)
{
  bl_report_draw_head (page);
  bl_report_draw_findings (page);
  bl_report_draw_cautions (page);
  bl_report_draw_photos (page);
  bl_report_draw_readings (page);
  bl_report_draw_steps (page);
  bl_report_draw_parts (page);
  bl_report_draw_tests (page);
  bl_report_draw_meters (page);
  bl_report_draw_log (page);
}

static void
draw_all (BlPage *page)
{
  page->number = 1;
  bl_page_begin (page);
  if (page->report->audience == BL_REPORT_FOR_CUSTOMER)
    draw_for_customer (page);
  else
    draw_for_shop (page);
  if (page->next_sheet != NULL)
    page->next_sheet (page);
  else
    cairo_show_page (page->cr);
}

static cairo_status_t
take_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static void
set_metadata (cairo_surface_t *surface, const BlJobReport *report)
{
  g_autofree char *title = g_strdup_printf (_ ("Job %d"), report->number);
  g_autoptr (GDateTime) time =
      report->printed != 0 ? g_date_time_new_from_unix_utc (report->printed / G_USEC_PER_SEC)
                           : g_date_time_new_now_utc ();
  g_autofree char *date = time != NULL ? g_date_time_format (time, "%Y-%m-%dT%H:%M:%SZ") : NULL;

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Benchlore " BL_VERSION);
  if (date != NULL)
    cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
}

static void
page_init (BlPage *page, const BlJobReport *report)
{
  *page = (BlPage){ .report = report, .palette = bl_palette_get (FALSE), .missing = g_hash_table_new (NULL, NULL) };
  bl_report_paper_size (report->paper, &page->paper_w, &page->paper_h);
}

static void
page_clear (BlPage *page)
{
  g_clear_pointer (&page->surfaces, g_hash_table_unref);
  g_clear_pointer (&page->missing, g_hash_table_unref);
}

/* One pass. out NULL: only to count the pages. Returns cairo's status. */
static cairo_status_t
draw_pass (BlPage *page, GByteArray *out)
{
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (
      out != NULL ? take_bytes : NULL, out, page->paper_w, page->paper_h);
  cairo_status_t status;

  if (out != NULL)
    set_metadata (surface, page->report);
  page->cr = cairo_create (surface);
  page->context = bl_page_context_new (page->cr);
  draw_all (page);
  g_clear_object (&page->context);
  status = cairo_status (page->cr);
  g_clear_pointer (&page->cr, cairo_destroy);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

static int
compare_letters (gconstpointer a, gconstpointer b)
{
  guint x = GPOINTER_TO_UINT (a), y = GPOINTER_TO_UINT (b);

  return (x > y) - (x < y);
}

/* (transfer full) */
static char *
missing_words (const BlPage *page)
{
  g_autoptr (GList) letters = g_list_sort (g_hash_table_get_keys (page->missing), compare_letters);
  GString *words = g_string_new (NULL);
  guint n = 0;

  for (const GList *at = letters; at != NULL && n < 12; at = at->next, n++)
    {
      g_string_append_c (words, ' ');
      g_string_append_unichar (words, GPOINTER_TO_UINT (at->data));
    }
  if (n < g_hash_table_size (page->missing))
    g_string_append (words, " …");
  return g_string_free (words, n == 0);
}

static gboolean
fail (cairo_status_t status, GError **error)
{
  if (status == CAIRO_STATUS_SUCCESS)
    return FALSE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the report cannot be drawn: %s"),
               cairo_status_to_string (status));
  return TRUE;
}

GBytes *
bl_report_to_pdf (const BlJobReport *report, guint *n_pages, char **missing, GError **error)
{
  g_return_val_if_fail (report != NULL, NULL);
  g_autoptr (GByteArray) out = g_byte_array_new ();
  cairo_status_t status;
  BlPage page;

  page_init (&page, report);
  status = draw_pass (&page, NULL);
  page.total = page.number;
  if (status == CAIRO_STATUS_SUCCESS)
    status = draw_pass (&page, out);
  if (missing != NULL)
    *missing = missing_words (&page);
  page_clear (&page);
  if (fail (status, error))
    return NULL;
  if (n_pages != NULL)
    *n_pages = page.total;
  return g_byte_array_free_to_bytes (g_steal_pointer (&out));
}

gboolean
bl_report_write_pdf (const BlJobReport *report, const char *path, char **missing, GError **error)
{
  g_autoptr (GBytes) bytes = bl_report_to_pdf (report, NULL, missing, error);
  gsize size = 0;
  const char *data;

  g_return_val_if_fail (path != NULL, FALSE);
  if (bytes == NULL)
    return FALSE;
  data = g_bytes_get_data (bytes, &size);
  return g_file_set_contents_full (path, data, (gssize) size,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                   0644, error);
}

/* --- sheets --- */

static void
next_recording (BlPage *page)
{
  const cairo_rectangle_t extents = { 0, 0, page->paper_w, page->paper_h };
  cairo_surface_t *surface;

  g_clear_pointer (&page->cr, cairo_destroy);
  surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, &extents);
  g_ptr_array_add (page->next_sheet_data, surface);
  page->cr = cairo_create (surface);
}

GPtrArray *
bl_report_sheets (const BlJobReport *report, GError **error)
{
  g_return_val_if_fail (report != NULL, NULL);
  g_autoptr (GPtrArray) sheets = g_ptr_array_new_with_free_func ((GDestroyNotify) cairo_surface_destroy);
  cairo_status_t status;
  BlPage page;

  page_init (&page, report);
  status = draw_pass (&page, NULL);
  page.total = page.number;
  page.next_sheet = next_recording;
  page.next_sheet_data = sheets;
  next_recording (&page);
  page.context = bl_page_context_new (page.cr);
  draw_all (&page);
  g_clear_object (&page.context);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_status (page.cr);
  cairo_destroy (page.cr);
  g_ptr_array_set_size (sheets, (gint) page.total); /* the one begun behind the last stays empty */
  page_clear (&page);
  return fail (status, error) ? NULL : g_steal_pointer (&sheets);
}
