/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measure next: three offers with their effort and their danger, taken by Alt 1 to 3 or a press. The
 * order is the model's; nothing here looks like an order. */
#include "config.h"

#include "bl-next-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-shape-icon.h"
#include "bl-style.h"

#define OFFERS 3

struct _BlNextView
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *scrolled, *box;
  char *offered[OFFERS]; /* measurement ids */
};

G_DEFINE_FINAL_TYPE (BlNextView, bl_next_view, GTK_TYPE_WIDGET)

static char *
effort_text (double seconds)
{
  if (seconds < 100)
    return g_strdup_printf (_ ("%.0f s"), seconds);
  return g_strdup_printf (_ ("%.0f min"), ceil (seconds / 60));
}

/* What the state of the measurement means for the hands: words, and whether it is dangerous. */
static char *
danger_text (BlBench *bench, const BlMeasurement *measurement, gboolean *danger)
{
  const BlBoard *board = bl_bench_get_board (bench);
  const BlState *state = bl_board_state (board, measurement->state);
  const BlTestPoint *at = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  const char *title = state == NULL ? measurement->state : state->title != NULL ? state->title : state->id;
  gboolean hot = at != NULL && (g_strcmp0 (at->ground, "hot") == 0 || g_strcmp0 (at->ground, "mains") == 0);

  *danger = FALSE;
  if (state == NULL || state->live != 1)
    return g_strdup_printf (_ ("prove dead first; %s"), title);
  *danger = hot || (isfinite (state->volts) && state->volts > 60);
  if (hot)
    return g_strdup (_ ("live, this point at mains potential"));
  if (isfinite (state->volts))
    return g_strdup_printf (_ ("live %g V: %s"), state->volts, title);
  return g_strdup_printf (_ ("live: %s"), title);
}

static void
take (BlNextView *self, const char *id)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, id);

  if (item != NULL)
    bl_bench_select (self->bench, item);
}

static void
offer_pressed (GtkButton *button, BlNextView *self)
{
  bl_next_view_take (self, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "number")));
}

static GtkWidget *
offer_content (BlNextView *self, guint number, BlMeasurementItem *item, double effort_s)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *warning = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *label, *cap;
  g_autofree char *key = g_strdup_printf (_ ("Alt %u"), number);
  g_autofree char *title = g_strdup_printf ("%s %s", bl_measurement_item_get_point (item),
                                            bl_measurement_item_get_title (item));
  g_autofree char *effort = effort_text (effort_s);
  gboolean danger;
  g_autofree char *says = danger_text (self->bench, measurement, &danger);

  cap = bl_key_cap (key);
  gtk_widget_set_valign (cap, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (row), cap);
  label = bl_label (title, "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (words), label);
  if (danger)
    gtk_box_append (GTK_BOX (warning), bl_shape_icon_new (BL_SHAPE_HIGH, 12));
  label = bl_label (says, danger ? "danger small" : "muted small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, says);
  gtk_box_append (GTK_BOX (warning), label);
  gtk_box_append (GTK_BOX (words), warning);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (row), words);
  label = bl_label (effort, NULL, 1);
  gtk_widget_set_valign (label, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (row), label);
  return row;
}

static void
add_offer (BlNextView *self, guint number, const BlNext *next)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, next->measurement);
  GtkWidget *button = gtk_button_new ();

  if (item == NULL)
    return;
  g_autofree char *name
    = g_strdup_printf (_ ("Measure next %u: %s %s"), number, bl_measurement_item_get_point (item),
                       bl_measurement_item_get_title (item));
  gtk_button_set_child (GTK_BUTTON (button), offer_content (self, number, item, next->effort_s));
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, name);
  g_object_set_data (G_OBJECT (button), "number", GUINT_TO_POINTER (number));
  g_signal_connect (button, "clicked", G_CALLBACK (offer_pressed), self);
  gtk_box_append (GTK_BOX (self->box), button);
}

static void
refresh (BlNextView *self)
{
  const BlDiagnosis *diagnosis = self->bench != NULL ? bl_bench_get_diagnosis (self->bench) : NULL;
  GPtrArray *next = diagnosis != NULL ? diagnosis->next : NULL;

  /* The list comes after the odds; until it is there the offers stay as they are. */
  if (diagnosis != NULL && next == NULL && self->offered[0] != NULL)
    return;
  bl_widget_clear (self->box);
  for (guint i = 0; i < OFFERS; i++)
    {
      g_clear_pointer (&self->offered[i], g_free);
      if (i >= bl_len (next))
        continue;
      self->offered[i] = g_strdup (((BlNext *) bl_at (next, i))->measurement);
      add_offer (self, i + 1, bl_at (next, i));
    }
  if (bl_len (next) == 0)
    gtk_box_append (GTK_BOX (self->box),
                    bl_label (next != NULL ? _ ("nothing left that would tell more")
                                                 : self->bench != NULL
                                                       && bl_len (bl_bench_get_board (self->bench)->stages) > 0 ? _ ("working it out")
                                                                       : "",
                              "muted", 0));
}

static void
bl_next_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                      int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (BL_NEXT_VIEW (widget)->scrolled, orientation, for_size, minimum, natural, NULL, NULL);
}

/* No offer is cut in two. */
static void
bl_next_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlNextView *self = BL_NEXT_VIEW (widget);

  height = bl_widget_whole_rows (self->box, width, height);
  gtk_widget_size_allocate (self->scrolled, &(GtkAllocation){ 0, 0, width, height }, -1);
}

static void
bl_next_view_dispose (GObject *object)
{
  BlNextView *self = BL_NEXT_VIEW (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  for (guint i = 0; i < OFFERS; i++)
    g_clear_pointer (&self->offered[i], g_free);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_next_view_parent_class)->dispose (object);
}

static void
bl_next_view_class_init (BlNextViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_next_view_dispose;
  widget_class->measure = bl_next_view_measure;
  widget_class->size_allocate = bl_next_view_size_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_next_view_init (BlNextView *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->box);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
  bl_widget_name (GTK_WIDGET (self), _ ("Measure next"));
}

GtkWidget *
bl_next_view_new (void)
{
  return g_object_new (BL_TYPE_NEXT_VIEW, NULL);
}

void
bl_next_view_set_bench (BlNextView *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_NEXT_VIEW (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench != NULL)
    g_signal_connect_object (bench, "diagnosed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  refresh (self);
}

gboolean
bl_next_view_take (BlNextView *self, guint number)
{
  g_return_val_if_fail (BL_IS_NEXT_VIEW (self), FALSE);
  if (number < 1 || number > OFFERS || self->offered[number - 1] == NULL)
    return FALSE;
  take (self, self->offered[number - 1]);
  return TRUE;
}

BlMeasurementItem *
bl_next_view_get_first (BlNextView *self)
{
  g_return_val_if_fail (BL_IS_NEXT_VIEW (self), NULL);
  return self->bench != NULL && self->offered[0] != NULL ? bl_bench_find (self->bench, self->offered[0]) : NULL;
}
