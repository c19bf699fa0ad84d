/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The window: header, places, messages, keys.
 *
 * Keys are looked up here, before the focused widget, from the one table of keys. The pages do the
 * work; the window only knows which one is shown and which job is open. When the library could not be
 * opened the stack holds one page that says why and what to do. */
#include "config.h"

#include "bl-window.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-keys.h"
#include "bl-cautions-view.h"
#include "bl-finder.h"
#include "bl-bench-equipment.h"
#include "bl-bench-page.h"
#include "bl-boards-page.h"
#include "bl-frame-memory.h"
#include "bl-job-link.h"
#include "bl-jobs-page.h"
#include "bl-library-take-in.h"
#include "bl-practice-page.h"
#include "bl-preferences.h"
#include "bl-settings.h"
#include "bl-style.h"
#include "bl-take-in-page.h"
#include "bl-trouble-page.h"

#define NOTICE_S 6

struct _BlWindow
{
  AdwApplicationWindow parent_instance;

  BlLibrary *library; /* of the application */
  GtkBox *places;
  GtkLabel *job_label, *complaint_label, *notice_label;
  GtkEntry *free_entry;
  GtkWidget *undo_button, *notice, *folder_button;
  GFile *notice_file; /* what the button shows, or NULL */
  GtkStack *stack;
  GtkWidget *bench_page, *jobs_page, *boards_page, *take_in_page, *practice_page;
  char *came_from; /* place that taking in was begun at */
  guint notice_timeout;
};

static void bl_window_be_shell (BlShellInterface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE (BlWindow, bl_window, ADW_TYPE_APPLICATION_WINDOW,
                               G_IMPLEMENT_INTERFACE (BL_TYPE_SHELL, bl_window_be_shell))

static const struct
{
  const char *id, *title;
} places[] = {
  { "bench", N_ ("Bench") },
  { "boards", N_ ("Boards") },
  { "jobs", N_ ("Jobs") },
  { "practice", N_ ("Practice") },
};

/* --- messages --- */

static gboolean
hide_notice (gpointer data)
{
  BlWindow *self = data;

  self->notice_timeout = 0;
  gtk_widget_set_visible (self->notice, FALSE);
  return G_SOURCE_REMOVE;
}

static void
bl_window_name_undo (BlShell *shell, const char *label)
{
  BlWindow *self = BL_WINDOW (shell);
  g_autofree char *words = label != NULL ? g_strdup_printf (_ ("Undo %s (Ctrl Z)"), label)
                                         : g_strdup (_ ("Nothing to undo (Ctrl Z)"));

  gtk_widget_set_tooltip_text (self->undo_button, words);
  bl_widget_name (self->undo_button, words);
}

static void
bl_window_notify (BlShell *shell, const char *text, gboolean problem)
{
  BlWindow *self = BL_WINDOW (shell);

  g_clear_handle_id (&self->notice_timeout, g_source_remove);
  gtk_widget_set_visible (self->notice, text != NULL);
  gtk_widget_set_visible (self->folder_button, FALSE);
  gtk_label_set_label (self->notice_label, text != NULL ? text : "");
  if (text != NULL)
    self->notice_timeout = g_timeout_add_seconds (problem ? 4 * NOTICE_S : NOTICE_S, hide_notice, self);
}

static void
bl_window_notify_file (BlShell *shell, const char *text, const char *path)
{
  BlWindow *self = BL_WINDOW (shell);
  g_autoptr (GFile) file = g_file_new_for_path (path);

  g_set_object (&self->notice_file, file);
  bl_window_notify (shell, text, TRUE); /* time to reach for the button */
  gtk_widget_set_visible (self->folder_button, TRUE);
}

static void
folder_shown (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlWindow) self = data;
  GError *error = NULL;

  if (!gtk_show_uri_full_finish (GTK_WINDOW (self), result, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The folder was not opened"), error);
}

static void
show_folder (BlWindow *self)
{
  g_autoptr (GFile) folder = self->notice_file != NULL ? g_file_get_parent (self->notice_file) : NULL;
  g_autofree char *uri = folder != NULL ? g_file_get_uri (folder) : NULL;

  if (uri != NULL)
    gtk_show_uri_full (GTK_WINDOW (self), uri, GDK_CURRENT_TIME, NULL, folder_shown, g_object_ref (self));
}

/* --- places --- */

static void
update_head (BlWindow *self)
{
  const char *place = gtk_stack_get_visible_child_name (self->stack);
  BlBench *bench = self->bench_page != NULL ? bl_bench_page_get_bench (BL_BENCH_PAGE (self->bench_page)) : NULL;
  gboolean on_bench = bench != NULL && g_strcmp0 (place, "bench") == 0;
  g_autofree char *title = NULL;
  const char *complaint = "";

  /* Who practises is not to take the job on the bench for what is in hand. */
  if (bench != NULL && g_strcmp0 (place, "practice") != 0)
    {
      const BlJob *job = bl_bench_get_job (bench);
      title = g_strdup_printf (_ ("Job %d · %s"), job->number, job->board_name != NULL ? job->board_name : "");
      complaint = job->complaint != NULL ? job->complaint : "";
    }
  gtk_label_set_label (self->job_label, title != NULL ? title : _ ("Benchlore"));
  gtk_label_set_label (self->complaint_label, complaint);
  gtk_widget_set_visible (GTK_WIDGET (self->complaint_label), *complaint != '\0');
  gtk_widget_set_visible (GTK_WIDGET (self->free_entry), on_bench);
  gtk_widget_set_visible (self->undo_button, on_bench);
  g_simple_action_set_enabled (G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), "report")),
                               bench != NULL);
}

void
bl_window_show_place (BlWindow *self, const char *place)
{
  g_return_if_fail (BL_IS_WINDOW (self));
  if (self->library == NULL || gtk_stack_get_child_by_name (self->stack, place) == NULL)
    return;
  gtk_stack_set_visible_child_name (self->stack, place);
  g_action_group_change_action_state (G_ACTION_GROUP (self), "place", g_variant_new_string (place));
  if (g_str_equal (place, "jobs"))
    {
      bl_jobs_page_refresh (BL_JOBS_PAGE (self->jobs_page));
      bl_jobs_page_focus (BL_JOBS_PAGE (self->jobs_page));
    }
  else if (g_str_equal (place, "boards"))
    bl_boards_page_refresh (BL_BOARDS_PAGE (self->boards_page));
  else if (g_str_equal (place, "take-in"))
    bl_take_in_page_enter (BL_TAKE_IN_PAGE (self->take_in_page));
  else if (g_str_equal (place, "practice"))
    bl_practice_page_enter (BL_PRACTICE_PAGE (self->practice_page));
  else
    bl_bench_page_focus (BL_BENCH_PAGE (self->bench_page));
  update_head (self);
}

static void
place_activated (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_window_show_place (data, g_variant_get_string (parameter, NULL));
}

static void
open_taken (BlWindow *self, gint64 job)
{
  bl_shell_open_job (BL_SHELL (self), job);
}

static void
add_places (BlWindow *self)
{
  for (guint i = 0; i < G_N_ELEMENTS (places); i++)
    {
      GtkWidget *button = gtk_toggle_button_new ();
      GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
      g_autofree char *number = g_strdup_printf ("%u", i + 1);
      g_autofree char *tip = g_strdup_printf ("Ctrl %u", i + 1);
      gtk_box_append (GTK_BOX (box), bl_label (_ (places[i].title), NULL, 0));
      gtk_box_append (GTK_BOX (box), bl_label (number, "number", 0));
      gtk_button_set_child (GTK_BUTTON (button), box);
      gtk_widget_add_css_class (button, "place");
      gtk_widget_set_tooltip_text (button, tip);
      gtk_widget_set_focus_on_click (button, FALSE);
      bl_widget_name (button, _ (places[i].title));
      gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.place");
      gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", places[i].id);
      gtk_box_append (self->places, button);
    }
}

static void
leave_take_in (BlWindow *self)
{
  bl_window_show_place (self, self->came_from != NULL ? self->came_from : "jobs");
}

void
bl_window_take_in (BlWindow *self, GFile *photo)
{
  g_return_if_fail (BL_IS_WINDOW (self));
  const char *place = gtk_stack_get_visible_child_name (self->stack);

  if (self->library == NULL)
    return;
  if (self->take_in_page == NULL)
    {
      self->take_in_page = bl_take_in_page_new (self->library);
      g_signal_connect_object (self->take_in_page, "left", G_CALLBACK (leave_take_in), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (self->take_in_page, "open", G_CALLBACK (open_taken), self, G_CONNECT_SWAPPED);
      gtk_stack_add_named (self->stack, self->take_in_page, "take-in");
    }
  if (g_strcmp0 (place, "take-in") != 0)
    {
      g_free (self->came_from);
      self->came_from = g_strdup (place);
    }
  bl_window_show_place (self, "take-in");
  if (photo != NULL)
    bl_take_in_page_add_photo (BL_TAKE_IN_PAGE (self->take_in_page), photo);
}

static gboolean
bl_window_open_link (BlShell *shell, const char *text)
{
  BlWindow *self = BL_WINDOW (shell);
  g_autofree char *uid = bl_job_link_parse (text);
  g_autoptr (GError) error = NULL;

  if (uid == NULL || self->library == NULL)
    return FALSE;
  gint64 job = bl_library_find_job (self->library, uid, &error);
  if (job != 0)
    bl_shell_open_job (shell, job);
  else
    bl_window_notify (shell, error != NULL ? error->message : _ ("The job of this label is not in this library."), TRUE);
  return TRUE;
}

/* FALSE: it was not opened, and that was said. */
static gboolean
put_on_bench (BlWindow *self, gint64 job)
{
  GError *error = NULL;
  g_autoptr (BlBench) bench = bl_bench_new (self->library, job, &error);

  if (bench == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The job was not opened"), error);
      return FALSE;
    }
  if (bl_settings () != NULL)
    bl_bench_set_usual_strength (bench, g_settings_get_double (bl_settings (), "prior-strength"));
  bl_bench_page_set_bench (BL_BENCH_PAGE (self->bench_page), bench);
  gtk_widget_insert_action_group (GTK_WIDGET (self), "bench",
                                  bl_bench_page_get_actions (BL_BENCH_PAGE (self->bench_page)));
  g_signal_connect_object (bench, "changed", G_CALLBACK (update_head), self, G_CONNECT_SWAPPED);
  return TRUE;
}

static void
bl_window_open_job (BlShell *shell, gint64 job)
{
  BlWindow *self = BL_WINDOW (shell);
  GSettings *settings = bl_settings ();

  if (!put_on_bench (self, job))
    return;
  if (settings != NULL)
    g_settings_set_int64 (settings, "last-job", job);
  bl_window_show_place (self, "bench");
}

static BlBench *
bl_window_get_bench (BlShell *shell)
{
  BlWindow *self = BL_WINDOW (shell);
  return self->bench_page != NULL ? bl_bench_page_get_bench (BL_BENCH_PAGE (self->bench_page)) : NULL;
}

static void
bl_window_read_anew (BlShell *shell)
{
  BlWindow *self = BL_WINDOW (shell);
  BlBench *bench = bl_window_get_bench (shell);

  if (bench != NULL)
    put_on_bench (self, bl_bench_get_job (bench)->id);
}

/* --- actions --- */

static void
new_job (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_window_take_in (data, NULL);
}

static void
write_report (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlWindow *self = data;
  BlBench *bench = self->bench_page != NULL ? bl_bench_page_get_bench (BL_BENCH_PAGE (self->bench_page)) : NULL;

  if (bench == NULL)
    return;
  bl_window_show_place (self, "bench");
  bl_bench_report_ask (BL_BENCH_PAGE (self->bench_page));
}

static void
show_preferences (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_preferences_present (GTK_WINDOW (data), BL_WINDOW (data)->library, NULL);
}

static void
show_keys (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  const char *place = gtk_stack_get_visible_child_name (BL_WINDOW (data)->stack);

  bl_keys_show (GTK_WINDOW (data), g_strcmp0 (place, "practice") == 0);
}

static void
show_cautions (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_cautions_show (GTK_WINDOW (data));
}

static void
show_about (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  adw_show_about_window (GTK_WINDOW (data), "application-name", _ ("Benchlore"), "version", BL_VERSION,
                         "application-icon", BL_APP_ID, "license-type", GTK_LICENSE_GPL_3_0, "comments",
                         _ ("Finds the failed stage and component of a control board from what is measured on "
                            "it.\n\nIt never says that a board is safe. Mains and a DC link kill, also after "
                            "switch-off: local codes and licensed practice come first."),
                         NULL);
}

static void
free_entered (BlWindow *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->free_entry));

  if (bl_shell_open_link (BL_SHELL (self), text))
    gtk_editable_set_text (GTK_EDITABLE (self->free_entry), "");
  else if (*text == '\0' || bl_bench_page_enter (BL_BENCH_PAGE (self->bench_page), text))
    {
      gtk_editable_set_text (GTK_EDITABLE (self->free_entry), "");
      bl_bench_page_focus (BL_BENCH_PAGE (self->bench_page));
    }
}

static void
focus_free_entry (BlWindow *self)
{
  gtk_widget_grab_focus (GTK_WIDGET (self->free_entry));
}

static gboolean
run_key (BlWindow *self, const BlKey *key)
{
  const char *name = key->action;
  gboolean bench_key = g_str_has_prefix (name, "bench.");
  GActionGroup *group = NULL;

  if (bench_key)
    {
      if (g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "bench") != 0)
        return FALSE;
      group = bl_bench_page_get_actions (BL_BENCH_PAGE (self->bench_page));
    }
  else
    group = G_ACTION_GROUP (self);
  name = strchr (name, '.') + 1;
  if (group == NULL || !g_action_group_get_action_enabled (group, name))
    return FALSE;
  bl_shell_notify (BL_SHELL (self), NULL, FALSE);
  g_action_group_activate_action (group, name, key->target != NULL ? g_variant_new_string (key->target) : NULL);
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlWindow *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));
  gboolean in_entry = bl_widget_is_text (focus);
  gboolean typing = GTK_IS_EDITABLE (focus) && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0';
  gboolean on_bench = g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "bench") == 0;
  gboolean in_free = in_entry && gtk_widget_is_ancestor (focus, GTK_WIDGET (self->free_entry));
  GtkWidget *finder = focus != NULL ? gtk_widget_get_ancestor (focus, BL_TYPE_FINDER) : NULL;

  if (finder != NULL && bl_finder_key (BL_FINDER (finder), keyval, state))
    return GDK_EVENT_STOP;
  if (finder != NULL && (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) == 0)
    return GDK_EVENT_PROPAGATE;

  if (on_bench && !in_free && bl_bench_page_key (BL_BENCH_PAGE (self->bench_page), keyval, state))
    return GDK_EVENT_STOP;
  if (in_free && keyval == GDK_KEY_Escape)
    {
      gtk_editable_set_text (GTK_EDITABLE (self->free_entry), "");
      bl_bench_page_focus (BL_BENCH_PAGE (self->bench_page));
      return GDK_EVENT_STOP;
    }
  const BlKey *key = bl_keys_find (keyval, state, typing || in_free, in_entry && !in_free);
  if (key == NULL)
    return GDK_EVENT_PROPAGATE;
  /* A letter that is a key does not become text where its action cannot be done now. */
  return run_key (self, key) || (key->when_empty && on_bench) ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

static gboolean
bl_window_close_request (GtkWindow *window)
{
  GSettings *settings = bl_settings ();
  int width, height;

  if (settings != NULL)
    {
      gtk_window_get_default_size (window, &width, &height);
      g_settings_set_int (settings, "window-width", MAX (width, 640));
      g_settings_set_int (settings, "window-height", MAX (height, 480));
      g_settings_set_boolean (settings, "window-maximized", gtk_window_is_maximized (window));
    }
  return GTK_WINDOW_CLASS (bl_window_parent_class)->close_request (window);
}

static void
bl_window_dispose (GObject *object)
{
  BlWindow *self = BL_WINDOW (object);

  g_clear_handle_id (&self->notice_timeout, g_source_remove);
  g_clear_object (&self->notice_file);
  g_clear_pointer (&self->came_from, g_free);
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_WINDOW);
  G_OBJECT_CLASS (bl_window_parent_class)->dispose (object);
}

static void
bl_window_be_shell (BlShellInterface *iface)
{
  iface->notify = bl_window_notify;
  iface->notify_file = bl_window_notify_file;
  iface->name_undo = bl_window_name_undo;
  iface->open_job = bl_window_open_job;
  iface->open_link = bl_window_open_link;
  iface->get_bench = bl_window_get_bench;
  iface->read_anew = bl_window_read_anew;
}

static void
bl_window_class_init (BlWindowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_window_dispose;
  GTK_WINDOW_CLASS (klass)->close_request = bl_window_close_request;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-window.ui");
  gtk_widget_class_bind_template_child (widget_class, BlWindow, places);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, job_label);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, complaint_label);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, free_entry);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, undo_button);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, stack);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, notice);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, notice_label);
  gtk_widget_class_bind_template_child (widget_class, BlWindow, folder_button);
  gtk_widget_class_bind_template_callback (widget_class, show_folder);
  gtk_widget_class_bind_template_callback (widget_class, free_entered);
}

static void
bl_window_init (BlWindow *self)
{
  static const GActionEntry actions[] = {
    { "place", place_activated, "s", "'jobs'", NULL, { 0 } },
    { "new-job", new_job, NULL, NULL, NULL, { 0 } },
    { "report", write_report, NULL, NULL, NULL, { 0 } },
    { "preferences", show_preferences, NULL, NULL, NULL, { 0 } },
    { "keys", show_keys, NULL, NULL, NULL, { 0 } },
    { "cautions", show_cautions, NULL, NULL, NULL, { 0 } },
    { "about", show_about, NULL, NULL, NULL, { 0 } },
  };
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_init_template (GTK_WIDGET (self));
  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  bl_style_dress (GTK_WIDGET (self));
  bl_frame_memory_keep (GTK_WIDGET (self));
  add_places (self);
}

/* The job worked on last, or else the newest that is not closed; 0: none. */
static gint64
job_to_open (BlLibrary *library, gint64 last)
{
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, NULL);
  gint64 newest = 0;

  for (guint i = 0; i < bl_len (jobs); i++)
    {
      const BlJob *job = bl_at (jobs, i);
      if (job->closed)
        continue;
      if (job->id == last)
        return last;
      if (newest == 0)
        newest = job->id;
    }
  return newest;
}

static void
add_pages (BlWindow *self)
{
  GSettings *settings = bl_settings ();
  gint64 last = settings != NULL ? g_settings_get_int64 (settings, "last-job") : 0;
  gint64 job = job_to_open (self->library, last);

  self->bench_page = bl_bench_page_new (self->library);
  self->boards_page = bl_boards_page_new (self->library);
  self->jobs_page = bl_jobs_page_new (self->library);
  gtk_stack_add_named (self->stack, self->bench_page, "bench");
  gtk_stack_add_named (self->stack, self->boards_page, "boards");
  self->practice_page = bl_practice_page_new (self->library, NULL);
  gtk_stack_add_named (self->stack, self->jobs_page, "jobs");
  gtk_stack_add_named (self->stack, self->practice_page, "practice");
  g_signal_connect_object (self->bench_page, "free-entry", G_CALLBACK (focus_free_entry), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->free_entry, "changed", G_CALLBACK (bl_bench_page_mended), self->bench_page,
                           G_CONNECT_SWAPPED);
  if (job != 0)
    bl_shell_open_job (BL_SHELL (self), job);
  else
    bl_window_show_place (self, "jobs");
  if (bl_library_is_read_only (self->library))
    bl_shell_notify (BL_SHELL (self), _ ("This library may only be read: nothing that is entered will be kept. "
                               "Give the file write permission, or open a copy of it."), TRUE);
}

GtkWidget *
bl_window_new (BlApplication *application, BlLibrary *library, const GError *trouble)
{
  g_return_val_if_fail (library != NULL || trouble != NULL, NULL);
  BlWindow *self = g_object_new (BL_TYPE_WINDOW, "application", application, NULL);
  GSettings *settings = bl_settings ();

  self->library = library;
  if (settings != NULL)
    {
      gtk_window_set_default_size (GTK_WINDOW (self), g_settings_get_int (settings, "window-width"),
                                   g_settings_get_int (settings, "window-height"));
      if (g_settings_get_boolean (settings, "window-maximized"))
        gtk_window_maximize (GTK_WINDOW (self));
    }
  else
    gtk_window_set_default_size (GTK_WINDOW (self), 1280, 800);
  if (library != NULL)
    add_pages (self);
  else
    {
      gtk_stack_add_named (self->stack, bl_trouble_page_new (trouble), "trouble");
      gtk_widget_set_visible (GTK_WIDGET (self->places), FALSE);
      update_head (self);
    }
  return GTK_WIDGET (self);
}
