/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the proving panel is made of. Every row is a button that leads to what it is about; the ruler between
 * before and after is the one of the list. While a point is not read again its needle is hollow and stands
 * where it was before. Some forty rows at most, built anew when the log changes. */
#include "config.h"

#include "bl-proving-rows.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-ruler.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

#define RULER_H 17
#define VALUE_W 52 /* px, least, so that the columns stand below each other */
#define POINT_W 48
#define WORD_W 92

/* --- pieces --- */

/* Takes what. */
static void
on_press (GtkWidget *button, const BlProvingActs *acts, char *what)
{
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_button_tells (button, what, acts->pressed, acts->data);
}

static GtkWidget *
row_button (GtkWidget *box, const BlProvingActs *acts, char *what, GtkWidget **row)
{
  GtkWidget *button = gtk_button_new ();

  *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  gtk_button_set_child (GTK_BUTTON (button), *row);
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_add_css_class (button, "proving-row");
  on_press (button, acts, what);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static GtkWidget *
cell (GtkWidget *row, const char *text, const char *classes, int width, float align)
{
  GtkWidget *label = bl_label (text, classes, align);

  gtk_widget_set_size_request (label, width, -1);
  gtk_box_append (GTK_BOX (row), label);
  return label;
}

static void
shape (GtkWidget *row, const BlVerdict *verdict, const BlBand *band)
{
  int which = verdict != NULL ? (int) bl_shape_for_verdict (verdict, band) : -1;
  GtkWidget *icon = bl_shape_icon_new (which, 14);

  gtk_widget_set_valign (icon, GTK_ALIGN_CENTER);
  gtk_widget_set_size_request (icon, 14, 14);
  gtk_box_append (GTK_BOX (row), icon);
}

static void
word (GtkWidget *row, const BlVerdict *verdict, const BlBand *band, const char *otherwise)
{
  GtkWidget *label
    = cell (row, verdict != NULL ? bl_class_word (bl_verdict_label (verdict)) : otherwise,
            verdict != NULL ? bl_shape_css (bl_shape_for_verdict (verdict, band)) : "muted", WORD_W, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
}

static void
ruler (GtkWidget *row, int width, const BlBand *band, const BlReading *reading, const BlVerdict *verdict, gboolean hollow)
{
  GtkWidget *widget = bl_ruler_new ();

  bl_ruler_set_sizes (BL_RULER (widget), RULER_H, 0, FALSE, TRUE);
  bl_ruler_show (BL_RULER (widget), band, reading, verdict, hollow);
  bl_ruler_set_width (BL_RULER (widget), width);
  gtk_widget_set_valign (widget, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (row), widget);
}

static gboolean
reading_of (const BlRecord *record, BlMeasures measures, BlReading *reading)
{
  return record != NULL && record->text != NULL && bl_reading_parse (record->text, measures, reading, NULL);
}

static char *
figure (const BlRecord *record, BlMeasures measures)
{
  BlReading reading;

  if (record == NULL)
    return g_strdup ("");
  return reading_of (record, measures, &reading) ? bl_format_reading (measures, &reading) : g_strdup (record->text);
}

void
bl_proving_add_heading (GtkWidget *box, const BlProvingActs *acts, const char *words, const char *does,
                        const char *cap, const char *hint, const char *what)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label;

  gtk_box_append (GTK_BOX (row), bl_label (words, "heading", 0));
  label = bl_label (hint != NULL ? hint : "", "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), label);
  if (cap != NULL)
    {
      GtkWidget *button = bl_act_button ("bare", does, cap, TRUE);
      on_press (button, acts, g_strdup (what));
      gtk_box_append (GTK_BOX (row), button);
    }
  gtk_widget_set_margin_top (row, 6);
  gtk_box_append (GTK_BOX (box), row);
}

GtkWidget *
bl_proving_add_words (GtkWidget *box, const char *words, const char *classes)
{
  GtkWidget *label = bl_label (words, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 20);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

/* --- before and after --- */

static void
pair_row (GtkWidget *box, const BlProvingActs *acts, const BlPair *pair)
{
  const char *id = bl_measurement_item_get_id (pair->item);
  BlMeasures measures = bl_measurement_item_get_measurement (pair->item)->measures;
  const BlRecord *shown = pair->after != NULL ? pair->after : pair->before;
  const BlVerdict *before = bl_pair_verdict (pair, pair->before);
  const BlVerdict *after = pair->after != NULL ? bl_pair_verdict (pair, pair->after) : NULL;
  g_autofree char *was = figure (pair->before, measures), *is = figure (pair->after, measures);
  g_autofree char *title = *pair->before_condition != '\0'
                             ? g_strdup_printf ("%s, %s", bl_measurement_item_get_title (pair->item), pair->before_condition)
                             : g_strdup (bl_measurement_item_get_title (pair->item));
  GtkWidget *row, *button = row_button (box, acts, g_strconcat ("go:", id, NULL), &row), *label;
  BlReading reading;
  gboolean has = reading_of (shown, measures, &reading);

  label = cell (row, bl_measurement_item_get_point (pair->item), "strong", POINT_W, 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  label = cell (row, title, "muted", 40, 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, title);
  gtk_widget_set_hexpand (label, TRUE);
  cell (row, was, "figures", VALUE_W, 1);
  shape (row, before, pair->before->band);
  ruler (row, acts->ruler, shown->band, has ? &reading : NULL, pair->after != NULL ? after : before, pair->after == NULL);
  cell (row, is, pair->state == BL_PAIR_DEVIATES ? "figures strong" : "figures", VALUE_W, 1);
  shape (row, after, shown->band);
  if (pair->state == BL_PAIR_OTHER_CONDITION)
    {
      g_autofree char *condition = g_strdup_printf (_ ("not read %s"), pair->before_condition);
      word (row, NULL, NULL, condition);
    }
  else
    word (row, after, shown->band, _ ("not read again"));
  g_autofree char *name
    = g_strdup_printf (_ ("%s %s: before %s, after %s"), bl_measurement_item_get_point (pair->item), title, was,
                       pair->after != NULL ? is : _ ("not read again"));
  bl_widget_name (button, name);
}

static void
pair_head (GtkWidget *box, const BlProvingActs *acts)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *gap = bl_label ("", NULL, 0);

  gtk_widget_set_hexpand (gap, TRUE);
  gtk_box_append (GTK_BOX (row), gap);
  cell (row, _ ("before"), "muted tiny", VALUE_W, 1);
  cell (row, "", NULL, 14, 0);
  cell (row, "", NULL, acts->ruler, 0);
  cell (row, _ ("after"), "muted tiny", VALUE_W, 1);
  cell (row, "", NULL, 14, 0);
  cell (row, "", NULL, WORD_W, 0);
  gtk_box_append (GTK_BOX (box), row);
}

void
bl_proving_add_pairs (GtkWidget *box, const BlProvingActs *acts, GPtrArray *pairs)
{
  if (pairs->len == 0)
    {
      bl_proving_add_words (box, _ ("Nothing was read before the repair."), "muted");
      return;
    }
  pair_head (box, acts);
  for (guint i = 0; i < pairs->len; i++)
    pair_row (box, acts, bl_at (pairs, i));
}

/* --- what it does --- */

void
bl_proving_add_checks (GtkWidget *box, const BlProvingActs *acts, GPtrArray *checks)
{
  for (guint i = 0; i < checks->len; i++)
    {
      const BlCheck *check = bl_at (checks, i);
      const char *answer = check->answer == NULL ? _ ("not said yet")
                           : check->passed == check->good ? _ ("yes")
                                                          : _ ("no");
      GtkWidget *row, *button = row_button (box, acts, g_strconcat ("check:", check->id, NULL), &row), *label;
      int which = check->answer == NULL ? -1 : check->passed ? BL_SHAPE_IN_BAND : check->good ? BL_SHAPE_ABSENT : BL_SHAPE_HIGH;

      label = cell (row, check->title, NULL, 40, 0);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_widget_set_tooltip_text (label, check->title);
      gtk_widget_set_hexpand (label, TRUE);
      GtkWidget *icon = bl_shape_icon_new (which, 14);
      gtk_widget_set_size_request (icon, 14, 14);
      gtk_widget_set_valign (icon, GTK_ALIGN_CENTER);
      gtk_box_append (GTK_BOX (row), icon);
      cell (row, answer, check->answer == NULL ? "muted" : check->passed ? "v-in-band" : "v-high", WORD_W, 0);
      g_autofree char *name = g_strdup_printf ("%s %s", check->title, answer);
      bl_widget_name (button, name);
    }
}

/* --- electrical safety --- */

static void
safety_row (GtkWidget *box, const BlProvingActs *acts, const BlSafetyUnit *unit, BlSafetyTest test)
{
  const BlRecord *record = bl_proving_safety_record (acts->bench, test);
  g_autofree char *limit = bl_safety_limit_words (acts->limits, unit, test);
  g_autoptr (BlBand) now = bl_safety_band (acts->limits, unit, test, NULL);
  const BlBand *band = record != NULL ? record->band : now;
  const BlVerdict *verdict = record != NULL ? record->verdict : NULL;
  GtkWidget *row, *label;
  BlReading reading;

  if (limit == NULL)
    return;
  GtkWidget *button = row_button (box, acts, g_strconcat ("safety:", bl_safety_test_name (test), NULL), &row);
  gboolean has = reading_of (record, bl_safety_measures (test), &reading);
  label = cell (row, bl_safety_test_title (test), NULL, 40, 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  cell (row, limit, "muted figures", VALUE_W + 22, 1);
  ruler (row, acts->ruler, band, has ? &reading : NULL, verdict, FALSE);
  cell (row, record != NULL ? record->text : "", "figures strong", VALUE_W, 1);
  shape (row, verdict, band);
  word (row, verdict, band, _ ("not measured"));
  g_autofree char *name
    = g_strdup_printf ("%s %s: %s %s", bl_safety_test_title (test), limit, record != NULL ? record->text : "",
                       verdict != NULL ? bl_class_word (bl_verdict_label (verdict)) : _ ("not measured"));
  bl_widget_name (button, name);
}

void
bl_proving_add_safety (GtkWidget *box, const BlProvingActs *acts)
{
  BlSafetyUnit unit;
  gboolean has_class;

  bl_proving_unit (acts->bench, &unit, &has_class);
  for (guint i = 0; has_class && i < BL_N_SAFETY_TESTS; i++)
    safety_row (box, acts, &unit, (BlSafetyTest) i);
  bl_proving_add_words (box,
                        _ ("Of complete equipment, not of a bare board, switched off and with whoever may do it. The usual "
                           "limits are those of VDE 0701-0702:2008, which was split in 2021 into EN 50678 and EN 50699: "
                           "check what holds now, and where you are, before you use them. Varistors and Y capacitors to "
                           "earth can make an insulation test fail, or be destroyed by it. Local codes and licensed "
                           "practice come first."),
                        "muted small");
}
