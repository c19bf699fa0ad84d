/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First things of the report: the shop's own words, whose job it is, and what came in. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-report-choice.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define LABEL_WIDTH 104.0

void
bl_report_draw_field (BlPage *page, const char *label, const char *value)
{
  const BlPageText small = { .size = 9, .colour = &page->palette->muted, .width = LABEL_WIDTH - 8 };
  const BlPageText text = { .size = 10 };
  double height, least;
  guint number;

  if (value == NULL || value[0] == '\0')
    return;
  bl_page_measure (page, &small, label, NULL, &height);
  bl_page_need (page, MAX (bl_page_first_lines (page, LABEL_WIDTH, &text, value), height));
  bl_page_text_at (page, page->x, page->y + 0.8, &small, label);
  least = page->y + height;
  number = page->number;
  bl_page_paragraph (page, LABEL_WIDTH, &text, value);
  page->y = number == page->number ? MAX (page->y, least) : page->y;
  page->y += 1.5;
}

static char *
board_title (const BlBoard *board)
{
  const char *parts[] = { board->maker, board->model, board->board_number };
  GString *title = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i] != NULL && parts[i][0] != '\0')
      g_string_append_printf (title, "%s%s", title->len > 0 ? ", " : "", parts[i]);
  return g_string_free (title, FALSE);
}

/* The shop's name and address, name in front; nothing where it has entered none. */
static void
draw_shop (BlPage *page)
{
  const BlJobReport *report = page->report;
  gboolean customer = report->audience == BL_REPORT_FOR_CUSTOMER;
  BlPageText name = { .size = customer ? 13 : 9, .weight = PANGO_WEIGHT_BOLD };
  BlPageText address = { .size = 8.5, .colour = &page->palette->muted };

  if (report->shop_name == NULL && (report->shop_address == NULL || !customer))
    return;
  if (report->shop_name != NULL)
    bl_page_paragraph (page, 0, &name, report->shop_name);
  if (customer && report->shop_address != NULL)
    bl_page_paragraph (page, 0, &address, report->shop_address);
  page->y += 3;
  bl_page_line (page, page->y, &page->palette->edge, 0.8);
  page->y += 8;
}

static void
draw_title (BlPage *page)
{
  const BlJobReport *report = page->report;
  gint64 now = report->printed != 0 ? report->printed : g_get_real_time ();
  gboolean customer = report->audience == BL_REPORT_FOR_CUSTOMER;
  BlPageText style = { .size = customer ? 18 : 22, .weight = PANGO_WEIGHT_HEAVY };
  g_autofree char *title = g_strdup_printf (customer ? _ ("Repair report, job %d") : _ ("Job %d"), report->number);
  g_autofree char *printed = customer ? bl_report_day (now) : bl_report_time (now);
  g_autofree char *printed_text = g_strdup_printf (_ ("printed %s"), printed);
  double height, width, small_h;

  height = bl_page_text_at (page, page->x, page->y, &style, title);
  style = (BlPageText){ .size = 9, .colour = &page->palette->muted };
  bl_page_measure (page, &style, printed_text, &width, &small_h);
  bl_page_text_at (page, page->x + page->w - width, page->y + height - small_h - 3, &style, printed_text);
  page->y += height + 4;
}

static void
draw_time_spent (BlPage *page)
{
  double minutes = bl_report_minutes (page->report);
  guint whole = (guint) CLAMP (minutes + 0.5, 0, 1e6);
  g_autofree char *words = whole >= 60 ? g_strdup_printf (_ ("%u h %02u min"), whole / 60, whole % 60)
                                       : g_strdup_printf (_ ("%u min"), whole);

  if (whole > 0)
    bl_report_draw_field (page, _ ("Time spent"), words);
}

static void
draw_other_jobs (BlPage *page)
{
  const BlJobReport *report = page->report;
  g_autofree char *back = g_strdup_printf (_ ("job %d"), report->return_of);
  g_autofree char *whole = g_strdup_printf (_ ("job %d"), report->part_of);

  if (report->return_of != 0)
    bl_report_draw_field (page, _ ("Returned from"), back);
  if (report->part_of != 0)
    bl_report_draw_field (page, _ ("Part of"), whole);
}

void
bl_report_draw_head (BlPage *page)
{
  const BlJobReport *report = page->report;
  gboolean customer = report->audience == BL_REPORT_FOR_CUSTOMER;
  g_autofree char *created = customer ? bl_report_day (report->created) : bl_report_time (report->created);
  g_autofree char *back = customer ? bl_report_day (report->handed_back) : bl_report_time (report->handed_back);
  g_autofree char *board = report->board != NULL && report->equipment == NULL ? board_title (report->board) : NULL;
  g_autofree char *quoted = customer && report->complaint != NULL && report->complaint[0] != '\0'
                                ? g_strdup_printf (_ ("“%s”"), report->complaint)
                                : g_strdup (report->complaint);

  draw_shop (page);
  draw_title (page);
  bl_report_draw_field (page, _ ("Customer"), report->customer);
  bl_report_draw_field (page, _ ("Unit"), report->unit);
  bl_report_draw_field (page, _ ("Equipment"), report->equipment);
  bl_report_draw_field (page, _ ("Board"), board);
  if (report->board != NULL && report->equipment == NULL)
    bl_report_draw_field (page, _ ("Edition"), report->board->edition);
  bl_report_draw_field (page, _ ("Serial"), report->serial);
  bl_report_draw_field (page, customer ? _ ("What you told us") : _ ("Complaint"), quoted);
  bl_report_draw_field (page, _ ("Came with it"), report->came_with);
  bl_report_draw_field (page, _ ("Received"), report->created != 0 ? created : NULL);
  bl_report_draw_field (page, _ ("Handed back"), report->handed_back != 0 ? back : NULL);
  if (customer)
    return;
  bl_report_draw_field (page, _ ("State of the job"),
                        report->state != NULL ? report->state
                        : report->closed      ? C_ ("job", "closed")
                                              : C_ ("job", "open"));
  bl_report_draw_field (page, _ ("Cause found"), report->cause);
  draw_other_jobs (page);
  draw_time_spent (page);
}
