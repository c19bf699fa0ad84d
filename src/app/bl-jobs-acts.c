/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is done with a job from the list: its state, its coming back, taking it out of the list. Each is a step of undo
 * and says what it did. The keys are those of the strip at the foot; letters alone belong to the search. */
#include "config.h"

#include "bl-jobs-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-job-states.h"
#include "bl-library-steps.h"
#include "bl-shell.h"
#include "bl-style.h"

static BlChoicePanel *
panel (BlJobsPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

/* A job on the bench is changed there: its history of undo is another one. TRUE where it was said. */
static gboolean
is_on_bench (BlJobsPage *self, gint64 job)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));

  return shell != NULL && bl_shell_is_on_bench (shell, job);
}

/* --- state --- */

static void
ask_state (BlJobsPage *self)
{
  const BlJob *job = bl_jobs_page_selected (self);

  if (job == NULL)
    return;
  g_autofree char *title = g_strdup_printf (_ ("Job %d is %s. What now?"), job->number, bl_job_state_word (job->state));
  self->asked = job->id;
  bl_choice_panel_begin (panel (self), "state", title,
                         is_on_bench (self, job->id)
                             ? _ ("It lies on the bench: undo is there, with Ctrl Z.") : NULL);
  for (guint i = 0; i < BL_N_JOB_STATES; i++)
    if (i != BL_JOB_RETURNED)
      bl_choice_panel_add (panel (self), '1' + i, bl_job_state_word ((BlJobState) i),
                           i == job->state ? _ ("as now") : NULL, bl_job_state_name ((BlJobState) i));
  if (job->closed)
    bl_choice_panel_add (panel (self), 'b', _ ("it came back: a new job, linked to this one"), NULL, "back");
  bl_choice_panel_open (panel (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->list));
}

static void
take_back (BlJobsPage *self)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));
  GError *error = NULL;
  gint64 job = bl_jobs_take_back (self->library, self->asked, NULL, &error);

  bl_jobs_page_refresh (self);
  if (job == 0)
    bl_widget_report (GTK_WIDGET (self), _ ("No job was begun"), error);
  else if (shell != NULL)
    {
      bl_shell_open_job (shell, job);
      bl_shell_notify (shell, _ ("The job of what came back, linked to the first one. It waits until something is "
                                   "typed."), FALSE);
    }
}

static void
set_state (BlJobsPage *self, BlJobState state)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));
  GError *error = NULL;
  gboolean ok;

  if (shell != NULL && bl_shell_is_on_bench (shell, self->asked))
    ok = bl_bench_set_job_state (bl_shell_get_bench (shell), state, &error);
  else
    ok = bl_jobs_set_state (self->library, self->asked, state, &error);
  if (!ok)
    bl_widget_report (GTK_WIDGET (self), _ ("State of the job"), error);
  bl_jobs_page_refresh (self);
}

static void
chosen (BlJobsPage *self, const char *tag, const char *id)
{
  BlJobState state;

  if (g_str_equal (tag, "state") && g_str_equal (id, "back"))
    take_back (self);
  else if (g_str_equal (tag, "state") && bl_job_state_parse (id, &state))
    set_state (self, state);
}

/* --- removing --- */

static void
remove_selected (BlJobsPage *self)
{
  const BlJob *job = bl_jobs_page_selected (self);
  GError *error = NULL;

  if (job == NULL)
    return;
  g_autofree char *label = g_strdup_printf (_ ("remove job %d"), job->number);
  g_autofree char *words = g_strdup_printf (_ ("Job %d is out of the list; its bench log stays. Ctrl Z brings it back, "
                                               "today."), job->number);
  if (is_on_bench (self, job->id))
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("This job is on the bench: open another one first."));
      return;
    }
  if (!bl_library_begin_step (self->library, BL_STEPS_JOBS, 0, label, &error)
      || !bl_library_end_step (self->library, bl_library_remove_job (self->library, job->id, &error), NULL, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The job was not removed"), error);
  else
    bl_widget_notify (GTK_WIDGET (self), words);
  bl_jobs_page_refresh (self);
}

/* --- keys --- */

static const struct
{
  guint keyval;
  GdkModifierType modifiers;
  const char *cap, *label;
  void (*run) (BlJobsPage *self);
  gboolean button; /* shown as a button above the list, too */
} acts[] = {
  { 0, 0, N_ ("Enter"), N_ ("open on the bench"), NULL, FALSE },
  { GDK_KEY_F2, 0, N_ ("F2"), N_ ("state, came back"), ask_state, FALSE },
  { 0, 0, N_ ("Alt 0–8"), N_ ("narrow to a state"), NULL, FALSE },
  { GDK_KEY_n, GDK_ALT_MASK, N_ ("Alt N"), N_ ("Numbers"), bl_jobs_page_show_numbers, TRUE },
  { GDK_KEY_e, GDK_ALT_MASK, N_ ("Alt E"), N_ ("those shown to another bench"), bl_jobs_page_export, FALSE },
  { GDK_KEY_i, GDK_ALT_MASK, N_ ("Alt I"), N_ ("jobs of another bench"), bl_jobs_page_import, FALSE },
  { GDK_KEY_Delete, 0, N_ ("Delete"), N_ ("out of the list"), remove_selected, FALSE },
};

/* Delete belongs to a text that is typed. */
static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlJobsPage *self)
{
  const GdkModifierType mask = GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK;
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  gboolean typing = root != NULL && bl_widget_is_text (gtk_root_get_focus (root));

  if (g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "list") != 0)
    return GDK_EVENT_PROPAGATE;
  if (bl_choice_panel_key (panel (self), keyval, state) || bl_jobs_filter_key (self->filter, keyval, state))
    return GDK_EVENT_STOP;
  for (guint i = 0; i < G_N_ELEMENTS (acts); i++)
    if (acts[i].run != NULL && gdk_keyval_to_lower (keyval) == acts[i].keyval && (state & mask) == acts[i].modifiers
        && !(typing && acts[i].modifiers == 0 && keyval == GDK_KEY_Delete))
      {
        acts[i].run (self);
        return GDK_EVENT_STOP;
      }
  return GDK_EVENT_PROPAGATE;
}

static void
pressed (GtkButton *button, BlJobsPage *self)
{
  acts[GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "act"))].run (self);
}

void
bl_jobs_acts_add (BlJobsPage *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  self->choice = bl_choice_panel_new ();
  gtk_widget_set_halign (self->choice, GTK_ALIGN_CENTER);
  gtk_widget_set_valign (self->choice, GTK_ALIGN_END);
  gtk_widget_set_margin_bottom (self->choice, 44);
  gtk_overlay_add_overlay (self->overlay, self->choice);
  g_signal_connect_object (self->choice, "chosen", G_CALLBACK (chosen), self, G_CONNECT_SWAPPED);
  for (guint i = 0; i < G_N_ELEMENTS (acts); i++)
    {
      GtkWidget *key = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
      gtk_box_append (GTK_BOX (key), bl_key_cap (_ (acts[i].cap)));
      gtk_box_append (GTK_BOX (key), bl_label (_ (acts[i].label), "muted", 0));
      gtk_box_append (self->keys, key);
      if (!acts[i].button)
        continue;
      GtkWidget *button = bl_act_button ("plain", _ (acts[i].label), _ (acts[i].cap), FALSE);
      g_object_set_data (G_OBJECT (button), "act", GUINT_TO_POINTER (i));
      g_signal_connect (button, "clicked", G_CALLBACK (pressed), self);
      gtk_box_append (self->acts, button);
    }
}
