/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of a worked case: odds as frequencies, and what was read. */
#include "config.h"

#include "bl-worked-rows.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench.h"
#include "bl-format.h"
#include "bl-ruler.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

GtkWidget *
bl_worked_odds_row (const BlWorkedOdd *odd)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *title = bl_label (odd->title, NULL, 0);
  GtkWidget *track = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0), *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  g_autofree char *words = bl_worked_frequency_words (odd->probability);
  GtkWidget *figure = bl_label (words, "strong figures", 1);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_widget_add_css_class (track, "odd-track");
  gtk_widget_add_css_class (bar, "odd-bar");
  gtk_widget_set_size_request (track, 120, 8);
  gtk_widget_set_size_request (bar, (int) lround (120 * CLAMP (odd->probability, 0, 1)), 8);
  gtk_widget_set_valign (track, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (track), bar);
  gtk_widget_set_size_request (figure, 84, -1);
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), track);
  gtk_box_append (GTK_BOX (row), figure);
  return row;
}

int
bl_worked_shape (const BlBoard *board, const BlWorkedStep *step)
{
  g_return_val_if_fail (board != NULL && step != NULL, -1);
  const BlMeasurement *measurement = step->is_part ? NULL : bl_board_measurement (board, step->subject);

  if (step->verdict == NULL || measurement == NULL)
    return -1;
  /* A value of its own, as of one part open, takes the shape of the side it lies on. */
  g_autoptr (BlBand) band
    = measurement->has_expected ? bl_band_resolve_on (board, measurement, NAN, 0, NULL) : NULL;
  return (int) bl_shape_for_verdict (step->verdict, band);
}

static char *
value_of (const BlBoard *board, const BlWorkedStep *step)
{
  const BlMeasurement *measurement
    = step->is_part ? NULL : bl_board_measurement (board, step->subject);
  BlReading reading;

  if (measurement == NULL || !bl_reading_parse (step->text, measurement->measures, &reading, NULL))
    return g_strdup (step->text);
  g_autofree char *value = bl_format_reading (measurement->measures, &reading);
  g_autofree char *unit = bl_format_unit (measurement->measures);
  return g_strdup_printf ("%s %s", value, unit);
}

/* "TP5 12 V rail  0.02 V DC ○ absent" */
GtkWidget *
bl_worked_read_row (const BlBoard *board, const BlWorkedStep *step, gboolean large)
{
  g_return_val_if_fail (board != NULL && step != NULL, NULL);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *title = bl_label (step->title, large ? "strong" : NULL, 0);
  g_autofree char *value = value_of (board, step);
  int shape = bl_worked_shape (board, step);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), bl_label (value, large ? "drill-figure" : "figures strong", 1));
  if (shape >= 0)
    {
      GtkWidget *word = bl_label (bl_class_word (bl_verdict_label (step->verdict)), bl_shape_css ((BlShape) shape), 0);
      gtk_box_append (GTK_BOX (row), bl_shape_icon_new (shape, large ? 18 : 13));
      gtk_widget_set_size_request (word, 96, -1);
      gtk_box_append (GTK_BOX (row), word);
    }
  return row;
}

/* "expected 207 – 253 V AC, black on TPN", then the ruler. A check has no scale. */
GtkWidget *
bl_worked_ruler_row (const BlBoard *board, const BlWorkedStep *step)
{
  g_return_val_if_fail (board != NULL && step != NULL, NULL);
  const BlMeasurement *measurement = step->is_part ? NULL : bl_board_measurement (board, step->subject);
  g_autoptr (BlBand) band = measurement != NULL && measurement->has_expected
                              ? bl_band_resolve_on (board, measurement, NAN, 0, NULL) : NULL;
  BlReading reading;

  if (band == NULL || measurement->measures == BL_MEASURES_CHECK
      || !bl_reading_parse (step->text, measurement->measures, &reading, NULL))
    return NULL;
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *ruler = bl_ruler_new ();
  g_autofree char *expected = bl_format_expected (board, measurement);
  g_autofree char *words
    = measurement->black != NULL ? g_strdup_printf (_ ("expected %s, black on %s"), expected, measurement->black)
                                 : g_strdup_printf (_ ("expected %s"), expected);
  GtkWidget *label = bl_label (words, "muted", 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  bl_ruler_set_sizes (BL_RULER (ruler), 17, 0, FALSE, FALSE);
  bl_ruler_set_width (BL_RULER (ruler), 240);
  bl_ruler_show (BL_RULER (ruler), band, &reading, step->verdict, FALSE);
  gtk_widget_set_valign (ruler, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), ruler);
  return row;
}
