/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The jobs: newest first, found by any word of them or of their logs. Some thousand rows in a small shop after years:
 * the list makes widgets for those in view only, and a search looks through the heads that were read when the place was
 * shown, and asks the library for the logs. */
#include "config.h"

#include "bl-jobs-page.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-format.h"
#include "bl-library-known-good.h"
#include "bl-steps-bar.h"
#include "bl-style.h"
#include "bl-window.h"

/* --- one row --- */

#define BL_TYPE_JOB_ITEM (bl_job_item_get_type ())
G_DECLARE_FINAL_TYPE (BlJobItem, bl_job_item, BL, JOB_ITEM, GObject)

struct _BlJobItem
{
  GObject parent_instance;
  const BlJob *job; /* of the page's list */
  gboolean good;    /* a known-good board */
  char *line;       /* of its log, with what is looked for; NULL: that stands on its head */
};

G_DEFINE_FINAL_TYPE (BlJobItem, bl_job_item, G_TYPE_OBJECT)

static void
bl_job_item_finalize (GObject *object)
{
  g_free (((BlJobItem *) object)->line);
  G_OBJECT_CLASS (bl_job_item_parent_class)->finalize (object);
}

static void
bl_job_item_class_init (BlJobItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_job_item_finalize;
}

static void
bl_job_item_init (BlJobItem *self)
{
}

struct _BlJobsPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkListView *list;
  GtkLabel *count;
  GtkEditable *search;
  GHashTable *good;  /* ids of the jobs that count as known-good boards; may be NULL */
  GPtrArray *jobs;   /* BlJob, as read last; outlives the items */
  GListStore *items; /* BlJobItem of those that match */
  GtkSingleSelection *selection;
  GtkWidget *steps;
};

G_DEFINE_FINAL_TYPE (BlJobsPage, bl_jobs_page, GTK_TYPE_WIDGET)

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

/* One word that is looked for, and where it stands in the bench logs. */
typedef struct
{
  char *folded;
  GHashTable *logs; /* job -> line; NULL where the logs cannot be read */
} Term;

static void
term_free (gpointer data)
{
  Term *term = data;

  g_free (term->folded);
  g_clear_pointer (&term->logs, g_hash_table_unref);
  g_free (term);
}

static GPtrArray *
terms_of (BlJobsPage *self, const char *words)
{
  g_auto (GStrv) list = g_strsplit (words, " ", -1);
  GPtrArray *terms = g_ptr_array_new_with_free_func (term_free);

  for (guint i = 0; list[i] != NULL; i++)
    {
      if (*list[i] == '\0')
        continue;
      Term *term = g_new0 (Term, 1);
      term->folded = g_utf8_casefold (list[i], -1);
      term->logs = bl_library_find_in_logs (self->library, list[i], NULL);
      g_ptr_array_add (terms, term);
    }
  return terms;
}

/* Every word stands on the job's head or in its log. line: set to a line of the log with one that stands nowhere else. */
static gboolean
matches (const BlJob *job, gboolean good, GPtrArray *terms, const char **line)
{
  g_autofree char *all = g_strdup_printf ("%d %s %s %s %s %s %s %s", job->number, good ? _ ("known-good board") : "",
                                          or_empty (job->board_name), or_empty (job->customer),
                                          or_empty (job->unit), or_empty (job->serial), or_empty (job->complaint),
                                          or_empty (job->cause));
  g_autofree char *folded = g_utf8_casefold (all, -1);

  for (guint i = 0; i < terms->len; i++)
    {
      const Term *term = bl_at (terms, i);
      if (strstr (folded, term->folded) != NULL)
        continue;
      const char *found = term->logs != NULL ? g_hash_table_lookup (term->logs, &job->id) : NULL;
      if (found == NULL)
        return FALSE;
      *line = found;
    }
  return TRUE;
}

/* --- rows --- */

enum
{
  NUMBER,
  BOARD,
  COMPLAINT,
  CUSTOMER,
  STATE,
  DATE,
  N_LABELS
};

static GtkWidget *
add_label (GtkWidget *box, GtkWidget *labels[], int place, const char *css, int chars)
{
  GtkWidget *label = bl_label ("", css, place == NUMBER ? 1 : 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  /* What a job was about is read whole: two lines hold most complaints and causes. */
  if (place == COMPLAINT || place == STATE || place == CUSTOMER)
    {
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
      gtk_label_set_lines (GTK_LABEL (label), 2);
    }
  if (chars > 0)
    {
      gtk_label_set_width_chars (GTK_LABEL (label), chars);
      gtk_label_set_max_width_chars (GTK_LABEL (label), chars);
    }
  gtk_box_append (GTK_BOX (box), label);
  labels[place] = label;
  return label;
}

static void
set_up_row (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer data)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget **labels = g_new0 (GtkWidget *, N_LABELS);

  add_label (box, labels, NUMBER, "choice-title strong", 5);
  add_label (words, labels, BOARD, "strong", 0);
  add_label (words, labels, COMPLAINT, "muted", 0);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), words);
  add_label (box, labels, CUSTOMER, "muted", 22);
  add_label (box, labels, STATE, NULL, 24);
  add_label (box, labels, DATE, "muted", 15);
  g_object_set_data_full (G_OBJECT (box), "labels", labels, g_free);
  gtk_list_item_set_child (item, box);
}

static void
set_label (GtkWidget *label, const char *words)
{
  gtk_label_set_label (GTK_LABEL (label), or_empty (words));
  gtk_widget_set_tooltip_text (label, words != NULL && *words != '\0' ? words : NULL);
}

static void
fill_row (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer data)
{
  GtkWidget *box = gtk_list_item_get_child (item);
  GtkWidget **labels = g_object_get_data (G_OBJECT (box), "labels");
  const BlJobItem *entry = gtk_list_item_get_item (item);
  const BlJob *job = entry->job;
  g_autofree char *number = g_strdup_printf ("%d", job->number);
  g_autofree char *found = g_strdup_printf (_ ("in its log: %s"), or_empty (entry->line));
  g_autofree char *date = bl_format_day (job->created, g_get_real_time ());
  const char *cause = job->cause != NULL && *job->cause != '\0' ? job->cause : _ ("closed");
  const char *plain = job->closed ? cause : _ ("on the bench");
  g_autofree char *marked = !entry->good ? g_strdup (plain)
                            : job->closed && cause == job->cause
                              ? g_strdup_printf (_ ("known-good board since: %s"), cause)
                              : job->closed ? g_strdup (_ ("known-good board"))
                                            : g_strdup (_ ("on the bench, known-good board"));
  const char *state = marked;
  /* No style class: the column would be as much wider as the letters. */
  g_autoptr (PangoAttrList) bold = pango_attr_list_new ();
  g_autofree char *name = g_strdup_printf (_ ("Job %s, %s, %s, %s, %s"), number, or_empty (job->board_name),
                                           or_empty (job->complaint), state, date);

  pango_attr_list_insert (bold, pango_attr_weight_new (PANGO_WEIGHT_BOLD));
  gtk_label_set_label (GTK_LABEL (labels[NUMBER]), number);
  set_label (labels[BOARD], job->board_name);
  set_label (labels[COMPLAINT], entry->line != NULL ? found : job->complaint);
  set_label (labels[CUSTOMER], job->customer);
  set_label (labels[STATE], state);
  gtk_label_set_label (GTK_LABEL (labels[DATE]), date);
  gtk_label_set_attributes (GTK_LABEL (labels[STATE]), job->closed ? NULL : bold);
  bl_widget_name (box, name);
}

/* --- list --- */

static void
show_matching (BlJobsPage *self)
{
  g_autoptr (GPtrArray) matching = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GPtrArray) terms = terms_of (self, gtk_editable_get_text (self->search));
  g_autofree char *count = NULL;

  for (guint i = 0; i < bl_len (self->jobs); i++)
    {
      const BlJob *job = bl_at (self->jobs, i);
      gboolean good = self->good != NULL && g_hash_table_contains (self->good, &job->id);
      const char *line = NULL;
      if (matches (job, good, terms, &line))
        {
          BlJobItem *item = g_object_new (BL_TYPE_JOB_ITEM, NULL);
          item->job = job;
          item->good = good;
          item->line = g_strdup (line);
          g_ptr_array_add (matching, item);
        }
    }
  g_list_store_splice (self->items, 0, g_list_model_get_n_items (G_LIST_MODEL (self->items)), matching->pdata,
                       matching->len);
  if (bl_len (self->jobs) == 0)
    count = g_strdup (_ ("No job yet. Ctrl N begins one, from a documented board or from a photo alone."));
  else if (matching->len == 0)
    count = g_strdup_printf (_ ("none of %u has all these words"), self->jobs->len);
  else
    count = g_strdup_printf (_ ("%u of %u"), matching->len, self->jobs->len);
  gtk_label_set_label (self->count, count);
}

void
bl_jobs_page_refresh (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  GError *error = NULL;
  GPtrArray *jobs = bl_library_jobs (self->library, &error);

  if (jobs == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The jobs cannot be listed"), error);
  /* No item may point into the old ones. */
  g_list_store_remove_all (self->items);
  g_clear_pointer (&self->jobs, g_ptr_array_unref);
  self->jobs = jobs;
  g_clear_pointer (&self->good, g_hash_table_unref);
  self->good = bl_library_known_good_jobs (self->library, NULL);
  show_matching (self);
  if (self->steps != NULL)
    bl_steps_bar_refresh (BL_STEPS_BAR (self->steps));
}

void
bl_jobs_page_focus (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));

  if (g_list_model_get_n_items (G_LIST_MODEL (self->items)) == 0)
    return;
  gtk_single_selection_set_selected (self->selection, 0);
  gtk_widget_activate_action (GTK_WIDGET (self->list), "list.scroll-to-item", "u", 0u);
  gtk_widget_grab_focus (GTK_WIDGET (self->list));
}

static void
row_activated (GtkListView *list, guint place, BlJobsPage *self)
{
  g_autoptr (BlJobItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), place);
  BlWindow *window = bl_window_of (GTK_WIDGET (self));

  if (window != NULL && item != NULL)
    bl_window_open_job (window, item->job->id);
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
  if (g_list_model_get_n_items (G_LIST_MODEL (self->items)) > 0)
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

/* --- removing --- */

static void
remove_selected (BlJobsPage *self)
{
  BlJobItem *item = gtk_single_selection_get_selected_item (self->selection);
  BlWindow *window = bl_window_of (GTK_WIDGET (self));
  GError *error = NULL;

  if (item == NULL)
    return;
  gint64 id = item->job->id;
  g_autofree char *label = g_strdup_printf (_ ("remove job %d"), item->job->number);
  g_autofree char *words = g_strdup_printf (_ ("Job %d is out of the list; its bench log stays. Ctrl Z brings it back, "
                                               "today."), item->job->number);
  if (window != NULL && bl_window_is_on_bench (window, id))
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("This job is on the bench: open another one first."));
      return;
    }
  if (!bl_library_begin_step (self->library, BL_STEPS_JOBS, 0, label, &error)
      || !bl_library_end_step (self->library, bl_library_remove_job (self->library, id, &error), NULL, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The job was not removed"), error);
  else
    bl_widget_notify (GTK_WIDGET (self), words);
  bl_jobs_page_refresh (self);
}

static gboolean
list_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlJobsPage *self)
{
  if (keyval != GDK_KEY_Delete)
    return GDK_EVENT_PROPAGATE;
  remove_selected (self);
  return GDK_EVENT_STOP;
}

/* --- object --- */

static void
bl_jobs_page_dispose (GObject *object)
{
  BlJobsPage *self = BL_JOBS_PAGE (object);

  if (self->items != NULL)
    g_list_store_remove_all (self->items);
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_JOBS_PAGE);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  g_clear_object (&self->selection);
  g_clear_object (&self->items);
  g_clear_pointer (&self->jobs, g_ptr_array_unref);
  g_clear_pointer (&self->good, g_hash_table_unref);
  G_OBJECT_CLASS (bl_jobs_page_parent_class)->dispose (object);
}

static void
bl_jobs_page_class_init (BlJobsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_jobs_page_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-jobs-page.ui");
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
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_init_template (GTK_WIDGET (self));
  self->items = g_list_store_new (BL_TYPE_JOB_ITEM);
  self->selection = gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->items)));
  g_signal_connect (factory, "setup", G_CALLBACK (set_up_row), NULL);
  g_signal_connect (factory, "bind", G_CALLBACK (fill_row), NULL);
  gtk_list_view_set_factory (self->list, factory);
  gtk_list_view_set_model (self->list, GTK_SELECTION_MODEL (self->selection));
  g_object_unref (factory);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (search_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self->search), keys);
  bl_type_to_find (GTK_WIDGET (self), self->search);
}

GtkWidget *
bl_jobs_page_new (BlLibrary *library)
{
  BlJobsPage *self = g_object_new (BL_TYPE_JOBS_PAGE, NULL);

  GtkEventController *keys = gtk_event_controller_key_new ();

  self->library = library;
  self->steps = bl_steps_bar_new (library, BL_STEPS_JOBS, 0);
  gtk_box_insert_child_after (GTK_BOX (gtk_widget_get_parent (GTK_WIDGET (self->search))), self->steps,
                              gtk_widget_get_prev_sibling (GTK_WIDGET (self->search)));
  g_signal_connect_object (self->steps, "taken", G_CALLBACK (bl_jobs_page_refresh), self, G_CONNECT_SWAPPED);
  bl_steps_bar_add_keys (BL_STEPS_BAR (self->steps), GTK_WIDGET (self));
  g_signal_connect (keys, "key-pressed", G_CALLBACK (list_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self->list), keys);
  return GTK_WIDGET (self);
}
