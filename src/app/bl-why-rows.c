/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the panel "why" is made of: the quarrel with what to check, the reasons with their bars, and
 * what would change the verdict. Real text, so that it can be read aloud; rows about a measurement are
 * buttons that take it in hand. Some forty rows at most; built anew when there is something newer. */
#include "config.h"

#include "bl-why-rows.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-told.h"
#include "bl-shape-draw.h"
#include "bl-shape-icon.h"
#include "bl-style.h"
#include "bl-why-bar.h"
#include "bl-why-words.h"
#include "bl-wrap-box.h"

/* Bars of one panel have one scale; at least this many decibans fill it, so that small weights look small. */
#define LEAST_SCALE 20.0

static GtkWidget *
wrapped (const char *text, const char *classes)
{
  GtkWidget *label = bl_label (text, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_width_chars (GTK_LABEL (label), 20);
  gtk_widget_set_hexpand (label, TRUE);
  return label;
}

static void
heading (GtkWidget *box, const char *words, const char *hint)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label;

  gtk_box_append (GTK_BOX (row), bl_label (words, "heading", 0));
  if (hint != NULL)
    {
      label = bl_label (hint, "muted small", 0);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_box_append (GTK_BOX (row), label);
    }
  gtk_widget_set_margin_top (row, 8);
  gtk_box_append (GTK_BOX (box), row);
}

/* --- pressing --- */

static void
on_press (GtkWidget *button, BlPressed act, gpointer data, const char *measurement)
{
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_button_tells (button, g_strdup (measurement), act, data);
}

static void
act_button (GtkWidget *row, const char *cap, const char *words, BlPressed act, const BlWhyActs *acts,
            const char *measurement)
{
  GtkWidget *button = bl_act_button ("act", words, cap, TRUE);

  on_press (button, act, acts->data, measurement);
  gtk_box_append (GTK_BOX (row), button);
}

/* --- what does not fit --- */

GPtrArray *
bl_why_quarrelling (const BlDiagnosis *diagnosis)
{
  g_autoptr (GPtrArray) list = g_ptr_array_new ();

  if (diagnosis == NULL || !diagnosis->fitted || diagnosis->explained)
    return NULL;
  for (guint i = 0; i < bl_len (diagnosis->quarrel); i++)
    {
      const GPtrArray *set = bl_at (diagnosis->quarrel, i);
      for (guint r = 0; r < set->len; r++)
        {
          char *id = ((BlReadingRef *) bl_at (set, r))->measurement;
          if (!g_ptr_array_find_with_equal_func (list, id, g_str_equal, NULL))
            g_ptr_array_add (list, id);
        }
    }
  return list->len > 0 ? g_steal_pointer (&list) : NULL;
}

static void
add_sets (GtkWidget *box, const BlBoard *board, GPtrArray *quarrel)
{
  for (guint i = 0; i < quarrel->len; i++)
    {
      g_autofree char *set = bl_quarrel_set (board, bl_at (quarrel, i));
      g_autofree char *words = g_strdup_printf (
        i == 0 ? _ ("Two faults would explain everything but %s.") : _ ("Or everything but %s."), set);
      gtk_box_append (GTK_BOX (box), wrapped (words, i == 0 ? "trouble" : "small"));
    }
}

static void
add_checks (GtkWidget *box, const BlBoard *board, const BlMeasurement *measurement)
{
  guint number = 1;

  for (int check = 0; check < BL_N_QUARREL_CHECKS; check++)
    {
      g_autofree char *words = bl_quarrel_check (board, measurement, (BlQuarrelCheck) check);
      if (words == NULL)
        continue;
      g_autofree char *line = g_strdup_printf ("%u  %s", number++, words);
      gtk_box_append (GTK_BOX (box), wrapped (line, NULL));
    }
}

/* Which reading is checked: one at a time, since each has its own point, lead and state. */
static void
add_choice (GtkWidget *box, const BlWhyActs *acts, const GPtrArray *list)
{
  const BlBoard *board = bl_bench_get_board (acts->bench);
  GtkWidget *row = bl_wrap_box_new (10, 4);

  for (guint i = 0; i < list->len; i++)
    {
      const BlMeasurement *measurement = bl_board_measurement (board, bl_at (list, i));
      gboolean checking = g_strcmp0 (bl_at (list, i), acts->checking) == 0;
      GtkWidget *button;
      if (measurement == NULL)
        continue;
      button = gtk_button_new_with_label (measurement->at != NULL ? measurement->at : measurement->id);
      gtk_widget_add_css_class (button, "act");
      gtk_widget_set_sensitive (button, !checking);
      on_press (button, acts->choose, acts->data, bl_at (list, i));
      bl_wrap_box_append (BL_WRAP_BOX (row), button);
    }
  bl_wrap_box_append (BL_WRAP_BOX (row), bl_key_cap (_ ("Alt N")));
  gtk_box_append (GTK_BOX (box), row);
}

void
bl_why_add_quarrel (GtkWidget *box, const BlWhyActs *acts, const BlDiagnosis *diagnosis)
{
  const BlBoard *board = bl_bench_get_board (acts->bench);
  g_autoptr (GPtrArray) list = bl_why_quarrelling (diagnosis);
  const BlMeasurement *measurement = acts->checking != NULL ? bl_board_measurement (board, acts->checking) : NULL;
  GtkWidget *row;

  if (list == NULL)
    return;
  heading (box, _ ("Readings that do not fit together"), NULL);
  add_sets (box, board, diagnosis->quarrel);
  if (measurement == NULL)
    return;
  g_autofree char *title = g_strdup_printf (_ ("Check first, in this order, at %s"),
                                            measurement->at != NULL ? measurement->at : measurement->id);
  heading (box, title, NULL);
  if (list->len > 1)
    add_choice (box, acts, list);
  add_checks (box, board, measurement);
  row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  act_button (row, _ ("Alt M"), _ ("measure again"), acts->again, acts, measurement->id);
  act_button (row, _ ("Alt S"), _ ("strike it"), acts->strike, acts, measurement->id);
  act_button (row, _ ("Alt X"), _ ("expected value"), acts->expected, acts, measurement->id);
  gtk_widget_set_margin_top (row, 4);
  gtk_box_append (GTK_BOX (box), row);
}

/* --- reasons --- */

static double
scale_of (const BlReasons *reasons)
{
  double most = LEAST_SCALE;

  for (guint i = 0; i < reasons->reasons->len; i++)
    {
      double decibans = fabs (((BlReason *) bl_at (reasons->reasons, i))->decibans);
      if (isfinite (decibans))
        most = MAX (most, decibans);
    }
  return most;
}

static GtkWidget *
reason_icon (BlBench *bench, const BlReason *reason)
{
  BlMeasurementItem *item = reason->kind == BL_REASON_READING ? bl_bench_find (bench, reason->subject) : NULL;

  if (item == NULL)
    return bl_shape_icon_new (-1, 14);
  return bl_shape_icon_new ((int) bl_shape_for_class (reason->said, bl_measurement_item_get_band (item)), 14);
}

static GtkWidget *
reason_content (const BlWhyActs *acts, const BlReasons *reasons, const BlReason *reason, double most, gboolean figures)
{
  const BlBoard *board = bl_bench_get_board (acts->bench);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *found = bl_why_found (board, reason), *part = bl_why_part (board, reasons->suspect);
  g_autofree char *stage = reasons->is_stage ? bl_why_suspect (board, reasons) : NULL;
  g_autofree char *weight = bl_why_weight (reason->decibans, stage != NULL ? stage : part);
  g_autofree char *times = bl_why_times (board, reasons, reason->decibans);
  g_autofree char *said = fabs (reason->decibans) < 1 ? g_strdup (weight) : g_strdup_printf ("%s: %s", weight, times);
  g_autofree char *told
      = reason->kind == BL_REASON_READING ? bl_bench_told_words (acts->bench, reason->subject) : NULL;
  g_autofree char *says = told != NULL ? g_strdup_printf ("%s · %s", told, said) : g_strdup (said);
  g_autofree char *decibans = figures ? bl_why_decibans (board, reasons, reason) : NULL;
  g_autofree char *head = reason->round > 1 ? g_strdup_printf (_ ("%s (round %u)"), found, reason->round)
                                            : g_strdup (found);
  GtkWidget *icon = reason_icon (acts->bench, reason);

  gtk_widget_set_valign (icon, GTK_ALIGN_START);
  gtk_widget_set_margin_top (icon, 2);
  gtk_box_append (GTK_BOX (row), bl_why_bar_new (reason->decibans, most));
  gtk_box_append (GTK_BOX (row), icon);
  gtk_box_append (GTK_BOX (words), wrapped (head, "strong"));
  gtk_box_append (GTK_BOX (words), wrapped (says, "muted small"));
  if (decibans != NULL)
    gtk_box_append (GTK_BOX (words), wrapped (decibans, "small"));
  gtk_box_append (GTK_BOX (row), words);
  return row;
}

static void
add_reason (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons, const BlReason *reason, double most,
            gboolean figures)
{
  GtkWidget *content = reason_content (acts, reasons, reason, most, figures), *button;
  g_autofree char *found = bl_why_found (bl_bench_get_board (acts->bench), reason);
  g_autofree char *times = bl_why_times (bl_bench_get_board (acts->bench), reasons, reason->decibans);
  g_autofree char *said = g_strdup_printf (_ ("Reason: %s, %s"), found, times);

  if (reason->kind != BL_REASON_READING)
    {
      bl_widget_name (content, said);
      gtk_box_append (GTK_BOX (box), content);
      return;
    }
  button = gtk_button_new ();
  gtk_button_set_child (GTK_BUTTON (button), content);
  gtk_widget_add_css_class (button, "row-button");
  bl_widget_name (button, said);
  on_press (button, acts->go, acts->data, reason->subject);
  gtk_box_append (GTK_BOX (box), button);
}

void
bl_why_add_reasons (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons, gboolean figures)
{
  g_autofree char *history = reasons->suspect != NULL && !reasons->is_stage
                               ? bl_bench_history_words (acts->bench, reasons->suspect) : NULL;
  g_autofree char *prior = bl_why_prior (reasons, history != NULL);
  g_autofree char *little = bl_why_little (bl_bench_get_board (acts->bench), reasons);
  double most = scale_of (reasons);
  GtkWidget *sides = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label;

  label = bl_label (_ ("against  |  for"), "muted small", 0.5);
  gtk_widget_set_size_request (label, 132, -1);
  gtk_box_append (GTK_BOX (sides), label);
  gtk_box_append (GTK_BOX (sides), wrapped (prior, "strong"));
  gtk_widget_set_margin_top (sides, 4);
  gtk_box_append (GTK_BOX (box), sides);
  if (history != NULL)
    gtk_box_append (GTK_BOX (box), wrapped (history, "muted small"));
  for (guint i = 0; i < reasons->reasons->len; i++)
    if (figures || bl_why_tells (bl_at (reasons->reasons, i)))
      add_reason (box, acts, reasons, bl_at (reasons->reasons, i), most, figures);
  if (!figures && little != NULL)
    gtk_box_append (GTK_BOX (box), wrapped (little, "muted small"));
  if (reasons->reasons->len == 0)
    gtk_box_append (GTK_BOX (box), wrapped (_ ("Nothing was read yet: this is where it stands by its kind alone."),
                                            "muted"));
}

/* --- what would change it --- */

static void
add_change (GtkWidget *box, const BlWhyActs *acts, const char *words, const char *measurement)
{
  GtkWidget *button;

  if (measurement == NULL || bl_bench_find (acts->bench, measurement) == NULL)
    {
      gtk_box_append (GTK_BOX (box), wrapped (words, NULL));
      return;
    }
  button = gtk_button_new ();
  gtk_button_set_child (GTK_BUTTON (button), wrapped (words, NULL));
  gtk_widget_add_css_class (button, "row-button");
  bl_widget_name (button, words);
  on_press (button, acts->go, acts->data, measurement);
  gtk_box_append (GTK_BOX (box), button);
}

#define MOST_TURNS 6

/* Of a suspect that is not first, what would put it first comes before the rest. */
static void
add_unread (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons)
{
  guint shown = 0;

  for (int own = 1; own >= 0; own--)
    for (guint i = 0; i < bl_len (reasons->turns) && shown < MOST_TURNS; i++)
      {
        const BlTurn *turn = bl_at (reasons->turns, i);
        if ((g_strcmp0 (turn->first, reasons->suspect) == 0) != own)
          continue;
        g_autofree char *words = bl_why_turn (bl_bench_get_board (acts->bench), reasons, turn);
        add_change (box, acts, words, turn->measurement);
        shown++;
      }
}

void
bl_why_add_turns (GtkWidget *box, const BlWhyActs *acts, const BlReasons *reasons)
{
  const BlBoard *board = bl_bench_get_board (acts->bench);
  g_autofree char *tried = bl_why_tried (reasons);
  gboolean any = FALSE;

  heading (box, _ ("What would change it"), NULL);
  for (guint i = 0; i < reasons->reasons->len; i++)
    {
      const BlReason *reason = bl_at (reasons->reasons, i);
      g_autofree char *words = bl_why_without (board, reason);
      if (words == NULL)
        continue;
      any = TRUE;
      add_change (box, acts, words, reason->kind == BL_REASON_READING ? reason->subject : NULL);
    }
  if (!any && reasons->reasons->len > 0)
    gtk_box_append (GTK_BOX (box), wrapped (_ ("No single entry so far: without any one of them the same part and "
                                               "stage stay first."),
                                            NULL));
  add_unread (box, acts, reasons);
  gtk_box_append (GTK_BOX (box), wrapped (tried, "muted small"));
}

#define MOST_NAMED 12

void
bl_why_add_not_visible (GtkWidget *box, const BlDiagnosis *diagnosis)
{
  g_autofree char *words = bl_why_not_visible (diagnosis != NULL ? diagnosis->not_visible : NULL, MOST_NAMED);
  GtkWidget *label;

  if (words == NULL)
    return;
  label = wrapped (words, "small");
  gtk_widget_set_margin_top (label, 8);
  gtk_box_append (GTK_BOX (box), label);
}
