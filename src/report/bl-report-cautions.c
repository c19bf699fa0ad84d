/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cautions for whoever opens the equipment next, and those for its user. Usual ones of the trade (common practice, no
 * source); local codes and licensed practice come first. */
#include "config.h"

#include "bl-report-parts.h"

#include <glib/gi18n-lib.h>

/* Highest voltage of any live state; INFINITY when a live state does not say. */
double
bl_report_highest_voltage (const BlBoard *board)
{
  double volts = 0;

  for (guint i = 0; board != NULL && i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->live != 0) /* not said: taken for live */
        volts = MAX (volts, isnan (state->volts) ? INFINITY : state->volts);
    }
  return board != NULL && bl_len (board->states) > 0 ? volts : INFINITY;
}

/* Whether it is dangerous by the limits of the shop that wrote the report. */
static gboolean
shocks (const BlJobReport *report)
{
  const BlBoard *board = report->board;

  for (guint i = 0; board != NULL && i < bl_len (board->states); i++)
    if (bl_safe_state_shocks (board, bl_at (board->states, i), &report->limits))
      return TRUE;
  return bl_safe_volts_shock (bl_report_highest_voltage (board), 0, &report->limits);
}

void
bl_report_draw_point (BlPage *page, const BlColour *colour, const char *text)
{
  const BlPageText style = { .size = 9 };

  bl_page_need (page, bl_page_first_lines (page, 14, &style, text));
  bl_set_source (page->cr, colour);
  cairo_rectangle (page->cr, page->x, page->y + 3, 6, 6);
  cairo_fill (page->cr);
  bl_page_paragraph (page, 14, &style, text);
  page->y += 2;
}

static void
draw_caution (BlPage *page, const char *text)
{
  bl_report_draw_point (page, &page->palette->high, text);
}

void
bl_report_draw_cautions (BlPage *page)
{
  double volts = bl_report_highest_voltage (page->report->board);

  bl_page_heading (page, _ ("Cautions"), 30);
  if (shocks (page->report))
    {
      g_autofree char *level =
          isfinite (volts)
              ? g_strdup_printf (_ ("This board carries up to %.0f V when live."), volts)
              : g_strdup (_ ("This board may carry mains when live."));
      g_autofree char *first = g_strdup_printf ("%s %s", level,
                                                _ ("Mains and the bulk capacitor can kill, the "
                                                   "capacitor also minutes after switch-off."));
      draw_caution (page, first);
      draw_caution (page, _ ("Before it is touched: isolate, discharge the bulk capacitor through "
                             "a resistor, prove dead on a "
                             "known source, at the point, and on the known source again."));
      draw_caution (page, _ ("Before power is applied again after a repair on the mains side: "
                             "resistance of the DC bus, "
                             "current-limited supply, discharge."));
    }
  draw_caution (page, _ ("Local codes and licensed practice come first. Work on mains is for "
                         "qualified people. This "
                         "report replaces none of the tests they ask for."));
}

/* What its user must not do. */
void
bl_report_draw_advice (BlPage *page)
{
  const BlJobReport *report = page->report;

  /* All of it with what ends the report: signatures do not stand on a page alone. */
  bl_page_heading (page, _ ("Please note"), report->shop_warranty != NULL ? 230 : 165);
  if (shocks (report))
    {
      draw_caution (page, _ ("Do not open the unit and do not touch the board. There are voltages inside that can kill, also "
                             "minutes after it was switched off."));
      draw_caution (page, _ ("Let a qualified person mount and connect it, with the supply switched off, locked off and proved "
                             "dead on the spot."));
    }
  else
    draw_caution (page, _ ("Let a qualified person mount and connect it, with the supply switched off."));
  draw_caution (page, _ ("Never replace a fuse by a stronger one or bridge it, and never do without the protective earth."));
  draw_caution (page, _ ("If it smells, smokes, hums or trips the breaker: switch it off at the breaker, leave it off, and ask "
                         "the workshop."));
  draw_caution (page, _ ("Local codes and licensed practice come first. This report says what was measured on the day it was "
                         "measured; it is no promise for what was not."));
}
