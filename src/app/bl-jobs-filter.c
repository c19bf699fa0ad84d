/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Chips that narrow the list of jobs to a state. The number on each is its key, with Alt: the same as in the choice of a
 * new state. */
#include "config.h"

#include "bl-jobs-filter.h"

#include <glib/gi18n-lib.h>

#include "bl-job-states.h"
#include "bl-style.h"
#include "bl-wrap-box.h"

enum { ALL = 0, NOT_ENDED = BL_N_JOB_STATES + 1, N_CHIPS };

struct _BlJobsFilter
{
  GtkWidget parent_instance;

  GtkWidget *box, *chips[N_CHIPS], *counts[N_CHIPS];
  int chosen;
};

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlJobsFilter, bl_jobs_filter, GTK_TYPE_WIDGET)

static const char *
chip_word (int chip)
{
  return chip == ALL ? _ ("all") : chip == NOT_ENDED ? _ ("not ended") : bl_job_state_word ((BlJobState) (chip - 1));
}

static gboolean
shows (int chip, const BlJob *job)
{
  return chip == ALL || (chip == NOT_ENDED ? !job->closed : (int) job->state == chip - 1);
}

void
bl_jobs_filter_count (BlJobsFilter *self, GPtrArray *jobs)
{
  g_return_if_fail (BL_IS_JOBS_FILTER (self));
  guint counts[N_CHIPS] = { 0 };

  for (guint i = 0; i < bl_len (jobs); i++)
    for (int chip = 0; chip < N_CHIPS; chip++)
      counts[chip] += shows (chip, bl_at (jobs, i));
  for (int chip = 0; chip < N_CHIPS; chip++)
    {
      g_autofree char *count = g_strdup_printf ("%u", counts[chip]);
      g_autofree char *name = g_strdup_printf (_ ("%s: %u, Alt %d"), chip_word (chip), counts[chip], chip);
      gtk_label_set_label (GTK_LABEL (self->counts[chip]), count);
      bl_widget_name (self->chips[chip], name);
    }
}

gboolean
bl_jobs_filter_shows (BlJobsFilter *self, const BlJob *job)
{
  g_return_val_if_fail (BL_IS_JOBS_FILTER (self) && job != NULL, FALSE);
  return shows (self->chosen, job);
}

gboolean
bl_jobs_filter_choose (BlJobsFilter *self, int chip)
{
  g_return_val_if_fail (BL_IS_JOBS_FILTER (self), FALSE);
  if (chip < 0 || chip >= N_CHIPS)
    return FALSE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->chips[chip]), TRUE);
  return TRUE;
}

gboolean
bl_jobs_filter_key (BlJobsFilter *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_JOBS_FILTER (self), FALSE);
  const GdkModifierType mask = GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK;

  return (state & mask) == GDK_ALT_MASK && keyval >= GDK_KEY_0 && keyval <= GDK_KEY_9
         && bl_jobs_filter_choose (self, (int) (keyval - GDK_KEY_0));
}

static void
toggled (GtkToggleButton *chip, BlJobsFilter *self)
{
  if (!gtk_toggle_button_get_active (chip))
    return;
  self->chosen = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (chip), "chip"));
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
add_chip (BlJobsFilter *self, int chip)
{
  GtkWidget *button = gtk_toggle_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  g_autofree char *key = g_strdup_printf ("%d", chip), *tip = g_strdup_printf (_ ("Alt %d"), chip);

  gtk_box_append (GTK_BOX (box), bl_label (chip_word (chip), NULL, 0));
  self->counts[chip] = bl_label ("0", "strong", 0);
  gtk_box_append (GTK_BOX (box), self->counts[chip]);
  gtk_box_append (GTK_BOX (box), bl_key_cap (key));
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "segment");
  gtk_widget_set_tooltip_text (button, tip);
  gtk_widget_set_focus_on_click (button, FALSE);
  g_object_set_data (G_OBJECT (button), "chip", GINT_TO_POINTER (chip));
  if (chip != ALL)
    gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (self->chips[ALL]));
  self->chips[chip] = button;
}

static void
bl_jobs_filter_dispose (GObject *object)
{
  g_clear_pointer (&BL_JOBS_FILTER (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_jobs_filter_parent_class)->dispose (object);
}

static void
bl_jobs_filter_class_init (BlJobsFilterClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_jobs_filter_dispose;
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_JOBS_FILTER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_jobs_filter_init (BlJobsFilter *self)
{
  static const int order[N_CHIPS] = { ALL, NOT_ENDED, 1, 2, 3, 4, 5, 6, 7 };

  self->box = bl_wrap_box_new (1, 4);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  for (guint i = 0; i < N_CHIPS; i++)
    add_chip (self, order[i]);
  for (guint i = 0; i < N_CHIPS; i++)
    bl_wrap_box_append (BL_WRAP_BOX (self->box), self->chips[order[i]]);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->chips[ALL]), TRUE);
  for (guint i = 0; i < N_CHIPS; i++)
    g_signal_connect (self->chips[i], "toggled", G_CALLBACK (toggled), self);
}
