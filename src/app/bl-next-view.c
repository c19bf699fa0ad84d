/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measure next: three offers with their effort and their danger, taken by Alt 1 to 3 or a press. First
 * the step of least expected effort to one part, with what comes after it; then what tells most a
 * second. Once a stage is isolated, which part to test or replace. Nothing here looks like an order. */
#include "config.h"

#include "bl-next-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-safe.h"
#include "bl-plan-words.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

enum { OFFERS = 3, ACTS = 3 };

struct _BlNextView
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *scrolled, *box;
  char *offered[OFFERS]; /* measurement ids */
};

G_DEFINE_FINAL_TYPE (BlNextView, bl_next_view, GTK_TYPE_WIDGET)

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
  if (state != NULL && state->live == 0)
    return g_strdup_printf (_ ("prove dead first; %s"), title);
  if (state == NULL || state->live < 0)
    {
      *danger = TRUE;
      return g_strdup_printf (_ ("live or not: not said, take it for live; %s"), title);
    }
  *danger = hot || bl_safe_state_shocks (board, state, bl_bench_get_limits (bench));
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

/* What doesn't fit can be read in the tooltip. */
static GtkWidget *
some_lines (const char *text, int lines)
{
  GtkWidget *label = bl_label (text, "muted small", 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_lines (GTK_LABEL (label), lines);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, text);
  return label;
}

static GtkWidget *
offer_content (BlNextView *self, guint number, BlMeasurementItem *item, double effort_s, const char *then)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *warning = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *label, *cap;
  g_autofree char *key = g_strdup_printf (_ ("Alt %u"), number);
  g_autofree char *title = g_strdup_printf ("%s %s", bl_measurement_item_get_point (item),
                                            bl_measurement_item_get_title (item));
  g_autofree char *effort = bl_effort_words (effort_s);
  gboolean danger;
  g_autofree char *says = danger_text (self->bench, measurement, &danger);

  cap = bl_key_cap (key);
  gtk_widget_set_valign (cap, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (row), cap);
  label = bl_label (title, "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (words), label);
  if (then != NULL && *then != '\0')
    gtk_box_append (GTK_BOX (words), some_lines (then, 3));
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
add_offer (BlNextView *self, guint number, const char *measurement, double effort_s, const char *then)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, measurement);
  GtkWidget *button = gtk_button_new ();

  if (item == NULL)
    return;
  g_autofree char *name
    = g_strdup_printf (_ ("Measure next %u: %s %s"), number, bl_measurement_item_get_point (item),
                       bl_measurement_item_get_title (item));
  gtk_button_set_child (GTK_BUTTON (button), offer_content (self, number, item, effort_s, then));
  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, name);
  g_object_set_data (G_OBJECT (button), "number", GUINT_TO_POINTER (number));
  g_signal_connect (button, "clicked", G_CALLBACK (offer_pressed), self);
  gtk_box_append (GTK_BOX (self->box), button);
}

static void
offer (BlNextView *self, guint *n, const char *measurement, double effort_s, const char *then)
{
  for (guint i = 0; i < *n; i++)
    if (g_strcmp0 (self->offered[i], measurement) == 0)
      return;
  self->offered[*n] = g_strdup (measurement);
  add_offer (self, ++*n, measurement, effort_s, then);
}

/* The first step of the plan with what follows, and how far it is to one part. */
static void
offer_plan (BlNextView *self, const BlDiagnosis *diagnosis, guint *n)
{
  const BlPlan *plan = diagnosis->plan;
  const BlPlanStep *first = plan != NULL ? plan->tree->first : NULL;

  if (first == NULL || first->test < 0)
    return;
  g_autofree char *then = bl_plan_words_after (plan, first, self->bench);
  g_autofree char *effort = bl_plan_words_effort (plan);
  g_autofree char *words = *then != '\0' ? g_strdup_printf ("%s\n%s", effort, then) : g_strdup (effort);
  offer (self, n, plan->measurements[first->test], bl_plan_cost (plan->table, (guint) first->test), words);
}

static void
add_act (BlNextView *self, const BlAct *act)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *words = bl_act_words (act, self->bench);
  g_autofree char *share = g_strdup_printf (_ ("%.0f %%"), 100 * act->probability);
  GtkWidget *label = some_lines (words, 2);

  gtk_box_append (GTK_BOX (row), bl_label (act->component, "strong", 0));
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), bl_label (share, NULL, 1));
  for (GtkWidget *child = gtk_widget_get_first_child (row); child != NULL; child = gtk_widget_get_next_sibling (child))
    gtk_widget_set_valign (child, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (self->box), row);
}

/* Parts, once it is known in which stage to look or no measurement tells more. */
static void
add_acts (BlNextView *self, const BlDiagnosis *diagnosis)
{
  const BlActs *acts = diagnosis->acts;
  gboolean measured = diagnosis->plan != NULL && diagnosis->plan->tree->first->test < 0;

  if (acts == NULL || acts->list->len == 0 || !(acts->stage != NULL || (measured && acts->probability >= .5)))
    return;
  g_autofree char *effort = bl_effort_words_about (acts->expected_s);
  g_autofree char *title = g_strdup_printf (_ ("Parts next, unpowered: about %s"), effort);
  GtkWidget *label = bl_label (title, "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, title);
  gtk_box_append (GTK_BOX (self->box), label);
  for (guint i = 0; i < acts->list->len && i < ACTS; i++)
    add_act (self, bl_at (acts->list, i));
}

static void
refresh (BlNextView *self)
{
  const BlDiagnosis *diagnosis = self->bench != NULL ? bl_bench_get_diagnosis (self->bench) : NULL;
  GPtrArray *next = diagnosis != NULL ? diagnosis->next : NULL;
  guint n = 0;

  /* The list comes after the odds; until it is there the offers stay as they are. */
  if (diagnosis != NULL && next == NULL && diagnosis->plan == NULL && self->offered[0] != NULL)
    return;
  bl_widget_clear (self->box);
  for (guint i = 0; i < OFFERS; i++)
    g_clear_pointer (&self->offered[i], g_free);
  if (diagnosis != NULL)
    {
      offer_plan (self, diagnosis, &n);
      add_acts (self, diagnosis);
    }
  for (guint i = 0; i < bl_len (next) && n < OFFERS; i++)
    {
      const BlNext *one = bl_at (next, i);

      offer (self, &n, one->measurement, one->effort_s, NULL);
    }
  if (n == 0)
    gtk_box_append (GTK_BOX (self->box),
                    bl_label (next != NULL ? _ ("nothing left that would tell more")
                              : self->bench != NULL && bl_len (bl_bench_get_board (self->bench)->stages) > 0
                                  ? _ ("working it out")
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
bl_next_view_offers (BlNextView *self, guint number)
{
  g_return_val_if_fail (BL_IS_NEXT_VIEW (self), FALSE);
  return number >= 1 && number <= OFFERS && self->offered[number - 1] != NULL;
}

gboolean
bl_next_view_take (BlNextView *self, guint number)
{
  g_return_val_if_fail (BL_IS_NEXT_VIEW (self), FALSE);
  if (!bl_next_view_offers (self, number))
    return FALSE;
  take (self, self->offered[number - 1]);
  return TRUE;
}
