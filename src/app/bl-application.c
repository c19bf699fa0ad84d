/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The application object: command line, library, accelerators.
 *
 * The library belongs to it and outlives the window. A library that cannot be opened does not end
 * the program: the window says why and what to do. --demo opens a copy of the demo library beside
 * the user's own, so that trying things out never touches the shop's work. */
#include "config.h"

#include "bl-application.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <unistd.h>

#include "bl-bundle.h"
#include "bl-job-link.h"
#include "bl-settings.h"
#include "bl-style.h"
#include "bl-window.h"

#define DEMO "demo.benchlore-library"

struct _BlApplication
{
  AdwApplication parent_instance;

  char *library_path;
  gboolean demo;
  BlLibrary *library;
  GError *trouble; /* why there is no library */
  char *link;      /* address of the job to open first, or NULL */
};

G_DEFINE_FINAL_TYPE (BlApplication, bl_application, ADW_TYPE_APPLICATION)

static void
apply_colour_scheme (void)
{
  static const AdwColorScheme schemes[] = { ADW_COLOR_SCHEME_DEFAULT, ADW_COLOR_SCHEME_FORCE_LIGHT,
                                            ADW_COLOR_SCHEME_FORCE_DARK };
  GSettings *settings = bl_settings ();
  int choice = settings != NULL ? g_settings_get_enum (settings, "colour-scheme") : 0;

  adw_style_manager_set_color_scheme (adw_style_manager_get_default (),
                                      schemes[CLAMP (choice, 0, (int) G_N_ELEMENTS (schemes) - 1)]);
}

/* The demo library made with the program: installed, or beside the build. (transfer full), NULL: none */
static char *
demo_library (void)
{
  static const char *const places[] = { "share/benchlore", "data" };
  const char *const *data = g_get_system_data_dirs ();
  g_autofree char *program = g_file_read_link ("/proc/self/exe", NULL);

  for (guint i = 0; data[i] != NULL; i++)
    {
      g_autofree char *file = g_build_filename (data[i], "benchlore", DEMO, NULL);
      if (g_file_test (file, G_FILE_TEST_EXISTS))
        return g_steal_pointer (&file);
    }
  for (int up = 0; program != NULL && up < 4; up++)
    {
      g_autofree char *above = g_path_get_dirname (program);
      for (guint i = 0; i < G_N_ELEMENTS (places); i++)
        {
          g_autofree char *file = g_build_filename (above, places[i], DEMO, NULL);
          if (g_file_test (file, G_FILE_TEST_EXISTS))
            return g_steal_pointer (&file);
        }
      g_free (program);
      program = g_steal_pointer (&above);
    }
  return NULL;
}

static void
import_file (BlApplication *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBundle) bundle = bl_bundle_read (path, NULL, &error);

  if (bundle == NULL || bl_library_import (self->library, bundle, &error) == 0)
    g_message (_ ("%s was not imported: %s"), path, error->message);
}

/* Copies the demo library to path, so that trying things out changes only the copy. */
static void
copy_demo (const char *path)
{
  g_autofree char *source = demo_library (), *folder = g_path_get_dirname (path), *data = NULL;
  g_autoptr (GError) error = NULL;
  gsize size;

  if (source == NULL)
    {
      g_message (_ ("The demo library is not installed."));
      return;
    }
  if (g_mkdir_with_parents (folder, 0700) != 0 || !g_file_get_contents (source, &data, &size, &error)
      || !g_file_set_contents (path, data, (gssize) size, &error))
    g_message (_ ("The demo library was not copied: %s"), error != NULL ? error->message : folder);
}

/* What SQLite only calls "cannot be opened" is said in words: a folder of that name, or no file and no
 * right to make one. */
static gboolean
may_hold_library (const char *path, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path);

  if (g_file_test (path, G_FILE_TEST_IS_DIR))
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: this is a folder; a library is one file"), path);
  else if (!g_file_test (path, G_FILE_TEST_EXISTS) && g_file_test (folder, G_FILE_TEST_IS_DIR)
           && g_access (folder, W_OK) != 0)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN,
                 _ ("%s: there is no such file, and none can be made, for the folder may only be read"), path);
  else
    return TRUE;
  return FALSE;
}

static void
open_library (BlApplication *self)
{
  g_autofree char *path = NULL;

  if (self->library != NULL || self->trouble != NULL)
    return;
  if (self->library_path != NULL)
    path = g_strdup (self->library_path);
  else if (self->demo)
    path = g_build_filename (g_get_user_data_dir (), "benchlore", DEMO, NULL);
  else
    path = bl_library_default_path ();
  if (self->demo && self->library_path == NULL && !g_file_test (path, G_FILE_TEST_EXISTS))
    copy_demo (path);
  if (may_hold_library (path, &self->trouble))
    self->library = bl_library_open (path, TRUE, &self->trouble);
}

static void
bl_application_activate (GApplication *application)
{
  BlApplication *self = BL_APPLICATION (application);
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (application));

  open_library (self);
  if (window == NULL)
    window = GTK_WINDOW (bl_window_new (self, self->library, self->trouble));
  gtk_window_present (window);
  if (self->link != NULL && BL_IS_WINDOW (window))
    bl_shell_open_link (BL_SHELL (window), self->link);
  g_clear_pointer (&self->link, g_free);
}

static void
bl_application_open (GApplication *application, GFile **files, int n_files, const char *hint)
{
  BlApplication *self = BL_APPLICATION (application);

  open_library (self);
  for (int i = 0; i < n_files && self->library != NULL; i++)
    {
      g_autofree char *path = g_file_get_path (files[i]), *uri = g_file_get_uri (files[i]);
      g_autofree char *job = bl_job_link_parse (uri);
      if (job != NULL)
        {
          g_free (self->link);
          self->link = g_steal_pointer (&uri);
          continue;
        }
      if (path != NULL)
        import_file (self, path);
    }
  g_application_activate (application);
}

static void
bl_application_startup (GApplication *application)
{
  G_APPLICATION_CLASS (bl_application_parent_class)->startup (application);
  GSettings *settings = bl_settings ();

  bl_style_install ();
  apply_colour_scheme ();
  if (settings != NULL)
    g_signal_connect (settings, "changed::colour-scheme", G_CALLBACK (apply_colour_scheme), NULL);
  gtk_window_set_default_icon_name (BL_APP_ID);
}

static int
bl_application_handle_local_options (GApplication *application, GVariantDict *options)
{
  BlApplication *self = BL_APPLICATION (application);
  g_autofree char *path = NULL;

  if (g_variant_dict_lookup (options, "library", "^ay", &path))
    self->library_path = g_canonicalize_filename (path, NULL);
  g_variant_dict_lookup (options, "demo", "b", &self->demo);
  return -1;
}

static void
bl_application_finalize (GObject *object)
{
  BlApplication *self = BL_APPLICATION (object);

  g_free (self->library_path);
  g_free (self->link);
  g_clear_error (&self->trouble);
  g_clear_pointer (&self->library, bl_library_close);
  G_OBJECT_CLASS (bl_application_parent_class)->finalize (object);
}

static void
bl_application_class_init (BlApplicationClass *klass)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_application_finalize;
  application_class->activate = bl_application_activate;
  application_class->open = bl_application_open;
  application_class->startup = bl_application_startup;
  application_class->handle_local_options = bl_application_handle_local_options;
}

static void
quit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  GtkWindow *window = gtk_application_get_active_window (data);

  if (window != NULL)
    gtk_window_close (window);
  else
    g_application_quit (data);
}

static void
bl_application_init (BlApplication *self)
{
  static const GOptionEntry options[] = {
    { "library", 'l', 0, G_OPTION_ARG_FILENAME, NULL, N_ ("Open this library"), N_ ("FILE") },
    { "demo", 0, 0, G_OPTION_ARG_NONE, NULL, N_ ("Open a library of demo boards"), NULL },
    { NULL }
  };
  static const GActionEntry actions[] = { { "quit", quit, NULL, NULL, NULL, { 0 } } };
  static const char *const quit_keys[] = { "<Control>q", NULL };

  g_application_add_main_option_entries (G_APPLICATION (self), options);
  g_action_map_add_action_entries (G_ACTION_MAP (self), actions, G_N_ELEMENTS (actions), self);
  gtk_application_set_accels_for_action (GTK_APPLICATION (self), "app.quit", quit_keys);
}

BlApplication *
bl_application_new (void)
{
  /* Not unique: two libraries may be open in two windows of two processes. */
  return g_object_new (BL_TYPE_APPLICATION, "application-id", BL_APP_ID, "flags",
                       G_APPLICATION_HANDLES_OPEN | G_APPLICATION_NON_UNIQUE, NULL);
}
