/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The jobs: newest first, narrowed to a state by chips, found by any word of them or of their logs. Some thousand rows in
 * a small shop after years: the list makes widgets for those in view only, and a search looks through the heads that were
 * read and folded when the place was shown, and asks the library for the logs. What is done with a job is in
 * bl-jobs-acts.c, the numbers are bl-numbers-page.c's. */
#include "config.h"

#include "bl-jobs-page-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-job-row.h"
#include "bl-job-states.h"
#include "bl-jobs-scan.h"
#include "bl-library-known-good.h"
#include "bl-numbers-page.h"
#include "bl-shell.h"
#include "bl-steps-bar.h"
#include "bl-style.h"

G_DEFINE_FINAL_TYPE (BlJobsPage, bl_jobs_page, GTK_TYPE_WIDGET)

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

/* One word that is looked for, and where it stands in the bench logs. */
typedef struct
{
  char *word, *folded;
  gboolean looked_up; /* only where it is not on every head */
  GHashTable *logs;   /* job -> line; NULL where the logs cannot be read */
} Term;

static void
term_free (gpointer data)
{
  Term *term = data;

  g_free (term->word);
  g_free (term->folded);
  g_clear_pointer (&term->logs, g_hash_table_unref);
  g_free (term);
}

static GPtrArray *
terms_of (const char *words)
{
  g_auto (GStrv) list = g_strsplit (words, " ", -1);
  GPtrArray *terms = g_ptr_array_new_with_free_func (term_free);

  for (guint i = 0; list[i] != NULL; i++)
    {
      if (*list[i] == '\0')
        continue;
      Term *term = g_new0 (Term, 1);
      term->word = g_strdup (list[i]);
      term->folded = g_utf8_casefold (list[i], -1);
      g_ptr_array_add (terms, term);
    }
  return terms;
}

/* All that stands on a job's head, folded for the search. (transfer full) */
static char *
folded_head (const BlJob *job, gboolean good)
{
  g_autofree char *all = g_strdup_printf ("%d %s %s %s %s %s %s %s %s %s", job->number, good ? _ ("known-good board") : "",
                                          or_empty (job->board_name), or_empty (job->customer),
                                          or_empty (job->unit), or_empty (job->serial), or_empty (job->complaint),
                                          or_empty (job->came_with), or_empty (job->cause), bl_job_state_word (job->state));
  return g_utf8_casefold (all, -1);
}

static gboolean
is_good (BlJobsPage *self, const BlJob *job)
{
  return self->good != NULL && g_hash_table_contains (self->good, &job->id);
}

static const char *
folded_of (BlJobsPage *self, guint place)
{
  const BlJob *job = bl_at (self->jobs, place);

  if (self->folded->pdata[place] == NULL)
    self->folded->pdata[place] = folded_head (job, is_good (self, job));
  return self->folded->pdata[place];
}

/* While nobody types: so that the first letter does not wait for all heads. */
static gboolean
fold_ahead (gpointer page)
{
  BlJobsPage *self = page;
  guint until = MIN (self->n_folded + 100, bl_len (self->jobs));

  for (; self->n_folded < until; self->n_folded++)
    folded_of (self, self->n_folded);
  if (self->n_folded < bl_len (self->jobs))
    return G_SOURCE_CONTINUE;
  self->folding = 0;
  return G_SOURCE_REMOVE;
}

static void
begin_folding (BlJobsPage *self)
{
  g_ptr_array_set_size (self->folded, 0);
  g_ptr_array_set_size (self->folded, (int) bl_len (self->jobs));
  self->n_folded = 0;
  if (self->folding == 0 && bl_len (self->jobs) > 0)
    self->folding = g_idle_add_full (G_PRIORITY_LOW, fold_ahead, self, NULL);
}

static const char *
line_with (BlJobsPage *self, Term *term, const BlJob *job)
{
  if (!term->looked_up)
    term->logs = bl_library_find_in_logs (self->library, term->word, NULL);
  term->looked_up = TRUE;
  return term->logs != NULL ? g_hash_table_lookup (term->logs, &job->id) : NULL;
}

/* Every word stands on the job's head or in its log. line: set to a line of the log with one that stands nowhere else. */
static gboolean
matches (BlJobsPage *self, guint place, GPtrArray *terms, const char **line)
{
  const BlJob *job = bl_at (self->jobs, place);
  const char *folded = terms->len > 0 ? folded_of (self, place) : "";

  for (guint i = 0; i < terms->len; i++)
    {
      Term *term = bl_at (terms, i);
      if (strstr (folded, term->folded) != NULL)
        continue;
      const char *found = line_with (self, term, job);
      if (found == NULL)
        return FALSE;
      *line = found;
    }
  return TRUE;
}

/* --- list --- */

/* When the job came into its state: as its log says, else when it was taken in or ended. */
static gint64
since_of (BlJobsPage *self, const BlJob *job)
{
  const gint64 *said = self->since != NULL ? g_hash_table_lookup (self->since, &job->id) : NULL;
  return said != NULL ? *said : job->closed && job->handed_back != 0 ? job->handed_back : job->created;
}

static char *
count_words (BlJobsPage *self, guint n)
{
  guint all = bl_len (self->jobs);

  if (all == 0)
    return g_strdup (_ ("No job yet. Ctrl N begins one, from a documented board or from a photo alone."));
  if (n == 0 && *gtk_editable_get_text (self->search) != '\0')
    return g_strdup_printf (_ ("none of %u has all these words"), all);
  return g_strdup_printf (_ ("%u of %u"), n, all);
}

/* Selects the job that was selected before, if it is still shown, else the first. */
static void
select_again (BlJobsPage *self, gint64 id)
{
  guint n = bl_jobs_model_n (self->items);

  for (guint i = 0; id != 0 && i < n; i++)
    {
      if (bl_jobs_model_job (self->items, i)->id != id)
        continue;
      gtk_single_selection_set_selected (self->selection, i);
      return;
    }
  gtk_single_selection_set_selected (self->selection, 0);
}

static void
show_matching (BlJobsPage *self)
{
  GArray *entries = g_array_new (FALSE, FALSE, sizeof (BlJobEntry));
  /* The lines that the entries of the last search point to. */
  g_autoptr (GPtrArray) old = self->terms;
  const BlJob *selected = bl_jobs_page_selected (self);
  gint64 id = selected != NULL ? selected->id : 0;

  self->terms = terms_of (gtk_editable_get_text (self->search));
  for (guint i = 0; i < bl_len (self->jobs); i++)
    {
      const BlJob *job = bl_at (self->jobs, i);
      BlJobEntry entry = { job, since_of (self, job), is_good (self, job), NULL };
      if (bl_jobs_filter_shows (self->filter, job) && matches (self, i, self->terms, &entry.line))
        g_array_append_val (entries, entry);
    }
  bl_jobs_model_set (self->items, entries);
  select_again (self, id);
  g_autofree char *count = count_words (self, entries->len);
  gtk_label_set_label (self->count, count);
}

void
bl_jobs_page_refresh (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  GError *error = NULL;
  /* The old ones stay until no item points into them. */
  g_autoptr (GPtrArray) old = self->jobs;
  GPtrArray *jobs = bl_library_jobs (self->library, &error);

  if (jobs == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The jobs cannot be listed"), error);
  self->jobs = jobs;
  begin_folding (self);
  g_clear_pointer (&self->good, g_hash_table_unref);
  self->good = bl_library_known_good_jobs (self->library, NULL);
  g_clear_pointer (&self->since, g_hash_table_unref);
  self->since = bl_library_states_since (self->library, NULL);
  bl_jobs_filter_count (self->filter, jobs);
  show_matching (self);
  if (bl_jobs_page_selected (self) != NULL)
    gtk_widget_activate_action (GTK_WIDGET (self->list), "list.scroll-to-item", "u",
                                gtk_single_selection_get_selected (self->selection));
  if (self->steps != NULL)
    bl_steps_bar_refresh (BL_STEPS_BAR (self->steps));
}

const BlJob *
bl_jobs_page_selected (BlJobsPage *self)
{
  BlJobItem *item = gtk_single_selection_get_selected_item (self->selection);
  return item != NULL ? bl_job_item_get_job (item) : NULL;
}

GPtrArray *
bl_jobs_page_shown (BlJobsPage *self)
{
  GPtrArray *shown = g_ptr_array_new ();

  for (guint i = 0; i < bl_jobs_model_n (self->items); i++)
    g_ptr_array_add (shown, (gpointer) bl_jobs_model_job (self->items, i));
  return shown;
}

void
bl_jobs_page_focus (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));

  if (bl_jobs_model_n (self->items) == 0)
    return;
  gtk_single_selection_set_selected (self->selection, 0);
  gtk_widget_activate_action (GTK_WIDGET (self->list), "list.scroll-to-item", "u", 0u);
  gtk_widget_grab_focus (GTK_WIDGET (self->list));
}

static void
row_activated (GtkListView *list, guint place, BlJobsPage *self)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (self));

  if (shell != NULL && place < bl_jobs_model_n (self->items))
    bl_shell_open_job (shell, bl_jobs_model_job (self->items, place)->id);
}

static void
search_changed (BlJobsPage *self)
{
  show_matching (self);
}

/* Return opens the first that matches, Down goes to the list. */
static void
search_entered (BlJobsPage *self)
{
  if (bl_jobs_scan_entered (GTK_WIDGET (self), self->search))
    return;
  if (bl_jobs_model_n (self->items) > 0)
    row_activated (self->list, 0, self);
}

static gboolean
search_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlJobsPage *self)
{
  if (keyval != GDK_KEY_Down && keyval != GDK_KEY_KP_Down)
    return GDK_EVENT_PROPAGATE;
  bl_jobs_page_focus (self);
  return GDK_EVENT_STOP;
}

/* --- numbers --- */

static void
numbers_left (BlJobsPage *self)
{
  gtk_stack_set_visible_child_name (self->stack, "list");
  bl_jobs_page_refresh (self);
  gtk_widget_grab_focus (GTK_WIDGET (self->list));
}

void
bl_jobs_page_show_numbers (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  if (self->numbers == NULL)
    {
      self->numbers = bl_numbers_page_new (self->library);
      gtk_stack_add_named (self->stack, self->numbers, "numbers");
      g_signal_connect_object (self->numbers, "left", G_CALLBACK (numbers_left), self, G_CONNECT_SWAPPED);
    }
  bl_numbers_page_refresh (BL_NUMBERS_PAGE (self->numbers));
  gtk_stack_set_visible_child_name (self->stack, "numbers");
  gtk_widget_grab_focus (self->numbers);
}

/* --- object --- */

static void
bl_jobs_page_dispose (GObject *object)
{
  BlJobsPage *self = BL_JOBS_PAGE (object);

  g_clear_handle_id (&self->folding, g_source_remove);
  if (self->dialog != NULL)
    gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (self->dialog));
  g_clear_object (&self->dialog);
  if (self->items != NULL)
    bl_jobs_model_set (self->items, g_array_new (FALSE, FALSE, sizeof (BlJobEntry)));
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_JOBS_PAGE);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  g_clear_object (&self->selection);
  g_clear_object (&self->items);
  g_clear_pointer (&self->terms, g_ptr_array_unref);
  g_clear_pointer (&self->jobs, g_ptr_array_unref);
  g_clear_pointer (&self->good, g_hash_table_unref);
  g_clear_pointer (&self->since, g_hash_table_unref);
  g_clear_pointer (&self->folded, g_ptr_array_unref);
  G_OBJECT_CLASS (bl_jobs_page_parent_class)->dispose (object);
}

static void
bl_jobs_page_class_init (BlJobsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_jobs_page_dispose;
  g_type_ensure (BL_TYPE_JOBS_FILTER);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-jobs-page.ui");
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, stack);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, overlay);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, acts);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, filter);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, keys);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, list);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, count);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, search);
  gtk_widget_class_bind_template_callback (widget_class, row_activated);
  gtk_widget_class_bind_template_callback (widget_class, search_changed);
  gtk_widget_class_bind_template_callback (widget_class, search_entered);
}

static void
bl_jobs_page_init (BlJobsPage *self)
{
  g_autoptr (GtkListItemFactory) factory = NULL;
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_init_template (GTK_WIDGET (self));
  self->items = bl_jobs_model_new ();
  self->selection = gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->items)));
  self->folded = g_ptr_array_new_with_free_func (g_free);
  factory = bl_job_row_factory_new (GTK_WIDGET (self->list));
  gtk_list_view_set_factory (self->list, factory);
  gtk_list_view_set_model (self->list, GTK_SELECTION_MODEL (self->selection));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (search_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self->search), keys);
  bl_type_to_find (GTK_WIDGET (self), self->search);
}

GtkWidget *
bl_jobs_page_new (BlLibrary *library)
{
  BlJobsPage *self = g_object_new (BL_TYPE_JOBS_PAGE, NULL);

  self->library = library;
  bl_jobs_scan_attach (GTK_WIDGET (self), self->search);
  self->steps = bl_steps_bar_new (library, BL_STEPS_JOBS, 0);
  gtk_box_insert_child_after (GTK_BOX (gtk_widget_get_parent (GTK_WIDGET (self->search))), self->steps,
                              gtk_widget_get_prev_sibling (GTK_WIDGET (self->search)));
  g_signal_connect_object (self->steps, "taken", G_CALLBACK (bl_jobs_page_refresh), self, G_CONNECT_SWAPPED);
  bl_steps_bar_add_keys (BL_STEPS_BAR (self->steps), GTK_WIDGET (self));
  bl_jobs_acts_add (self);
  return GTK_WIDGET (self);
}
