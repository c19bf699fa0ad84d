/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job's report as PDF: what a report is made from, and the two passes over its parts.
 *
 * For the customer, who wants to know what was wrong and what was done, and for the next
 * technician, who wants every reading with what it was judged by. It never says that a board is in
 * order; it says what was measured. The parts are in bl-report-*.c. */
#include "config.h"

#include "bl-report.h"

#include "bl-report-page.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>
#include <string.h>

/* --- words --- */

char *
bl_report_odds (double probability)
{
  if (!(probability >= 0.005))
    return g_strdup (_ ("<1 %"));
  if (probability > 0.995)
    return g_strdup (_ (">99 %"));
  return g_strdup_printf (_ ("%.0f %%"), probability * 100);
}

const char *
bl_report_class_word (const char *class_name)
{
  static const char *const words[] = { N_ ("absent"),     N_ ("low"),       N_ ("in band"),
                                       N_ ("high"),       N_ ("unsteady"),  N_ ("shorted"),
                                       N_ ("open"),       N_ ("still low"), N_ ("still middle"),
                                       N_ ("still high"), N_ ("beyond"),    N_ ("as expected"),
                                       N_ ("deviates") };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (g_str_equal (words[i], class_name))
      return _ (words[i]);
  return class_name; /* a mark's own name */
}

char *
bl_report_verdict_word (const BlBand *band, const BlVerdict *verdict)
{
  if (verdict == NULL)
    return g_strdup (_ ("not judged"));
  if (verdict->not_reached)
    return g_strdup (_ ("not reached"));
  if (verdict->reversed)
    return g_strdup (_ ("leads swapped?"));
  if (band == NULL || !verdict->evidence || verdict->n == 0)
    return g_strdup (_ ("not judged"));
  if (!verdict->certain)
    return g_strdup_printf (_ ("too close to call: %s or %s"),
                            bl_report_class_word (verdict->classes[verdict->best]),
                            bl_report_class_word (verdict->classes[verdict->second]));
  return g_strdup (bl_report_class_word (verdict->classes[verdict->best]));
}

char *
bl_report_time (gint64 time)
{
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = utc != NULL ? g_date_time_to_local (utc) : NULL;

  return local != NULL ? g_date_time_format (local, "%Y-%m-%d %H:%M") : g_strdup ("");
}

char *
bl_report_stage_name (const BlBoard *board, const char *stage)
{
  const BlStage *found = board != NULL ? bl_board_stage (board, stage) : NULL;

  return g_strdup (found != NULL && found->title != NULL ? found->title : stage);
}

char *
bl_report_component_name (const BlBoard *board, const char *component)
{
  const BlComponent *found = board != NULL ? bl_board_component (board, component) : NULL;

  if (found == NULL && g_str_has_suffix (component, "/other"))
    {
      g_autofree char *stage = g_strndup (component, strlen (component) - strlen ("/other"));
      g_autofree char *name = bl_report_stage_name (board, stage);
      return g_strdup_printf (_ ("something else in %s"), name);
    }
  if (found == NULL)
    return g_strdup (component);
  if (found->title != NULL)
    return g_strdup_printf ("%s %s", component, found->title);
  return found->value != NULL ? g_strdup_printf ("%s %s", component, found->value)
                              : g_strdup (component);
}

/* --- drawing --- */

static void
draw_all (BlPage *page)
{
  page->number = 1;
  bl_page_begin (page);
  bl_report_draw_head (page);
  bl_report_draw_findings (page);
  bl_report_draw_cautions (page);
  bl_report_draw_photos (page);
  bl_report_draw_readings (page);
  bl_report_draw_parts (page);
  bl_report_draw_log (page);
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

/* One pass. out NULL: only to count the pages. Returns cairo's status. */
static cairo_status_t
draw_pass (BlPage *page, GByteArray *out)
{
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (
      out != NULL ? take_bytes : NULL, out, BL_PAGE_WIDTH, BL_PAGE_HEIGHT);
  cairo_status_t status;

  if (out != NULL)
    set_metadata (surface, page->report);
  page->cr = cairo_create (surface);
  page->context = bl_page_context_new (page->cr);
  draw_all (page);
  g_clear_object (&page->context);
  status = cairo_status (page->cr);
  cairo_destroy (page->cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}

GBytes *
bl_report_to_pdf (const BlJobReport *report, guint *n_pages, GError **error)
{
  g_autoptr (GByteArray) out = g_byte_array_new ();
  BlPage page = { .report = report, .palette = bl_palette_get (FALSE) };
  cairo_status_t status;

  g_return_val_if_fail (report != NULL, NULL);
  status = draw_pass (&page, NULL);
  page.total = page.number;
  if (status == CAIRO_STATUS_SUCCESS)
    status = draw_pass (&page, out);
  g_clear_pointer (&page.surfaces, g_hash_table_unref);
  if (status != CAIRO_STATUS_SUCCESS)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   _ ("the report cannot be drawn: %s"), cairo_status_to_string (status));
      return NULL;
    }
  if (n_pages != NULL)
    *n_pages = page.total;
  return g_byte_array_free_to_bytes (g_steal_pointer (&out));
}

gboolean
bl_report_write_pdf (const BlJobReport *report, const char *path, GError **error)
{
  g_autoptr (GBytes) bytes = bl_report_to_pdf (report, NULL, error);
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
