/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of cautions on the screen: the same words as on paper, with the limits of the shop in them. A window beside
 * the work; nothing waits for it. */
#include "config.h"

#include "bl-cautions-view.h"

#include <glib/gi18n-lib.h>

#include "bl-cautions-draw.h"
#include "bl-print.h"
#include "bl-safe-settings.h"
#include "bl-style.h"

/* What came of saving or printing; said in the window itself. */
static void
say (GtkWidget *note, const char *words)
{
  gtk_label_set_label (GTK_LABEL (note), words);
}

static void
paper_size (double *width, double *height)
{
  g_autoptr (GtkPaperSize) paper = gtk_paper_size_new (gtk_paper_size_get_default ());

  *width = gtk_paper_size_get_width (paper, GTK_UNIT_POINTS);
  *height = gtk_paper_size_get_height (paper, GTK_UNIT_POINTS);
}

/* --- PDF --- */

static void
file_chosen (GtkNativeDialog *dialog, int response, GtkWidget *note)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  BlSafeLimits limits = bl_safe_settings_limits ();
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;
  double width, height;

  if (response == GTK_RESPONSE_ACCEPT && path != NULL)
    {
      g_autofree char *name = g_filename_display_basename (path);
      paper_size (&width, &height);
      words = bl_cautions_write (path, width, height, &limits, &error)
                ? g_strdup_printf (_ ("Saved as %s"), name)
                : g_strdup_printf (_ ("Not saved: %s"), error->message);
      say (note, words);
    }
  g_object_unref (dialog);
}

static void
save (GtkButton *button, GtkWidget *note)
{
  GtkFileChooserNative *dialog
    = gtk_file_chooser_native_new (_ ("Save the cautions"), GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (button))),
                                   GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);

  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (dialog), _ ("cautions.pdf"));
  g_signal_connect_object (dialog, "response", G_CALLBACK (file_chosen), note, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (dialog));
}

/* --- print --- */

static void
begin_print (GtkPrintOperation *operation, GtkPrintContext *context, gpointer data)
{
  BlSafeLimits limits = bl_safe_settings_limits ();
  guint n = bl_cautions_draw (gtk_print_context_get_cairo_context (context), G_MAXUINT,
                              gtk_print_context_get_width (context), gtk_print_context_get_height (context), &limits);

  gtk_print_operation_set_n_pages (operation, (int) n);
}

static void
draw_page (GtkPrintOperation *operation, GtkPrintContext *context, int page, gpointer data)
{
  BlSafeLimits limits = bl_safe_settings_limits ();

  bl_cautions_draw (gtk_print_context_get_cairo_context (context), (guint) page, gtk_print_context_get_width (context),
                    gtk_print_context_get_height (context), &limits);
}

static void
print (GtkButton *button, GtkWidget *note)
{
  g_autoptr (GtkPrintOperation) operation = bl_print_operation_new (note, _ ("Cautions"));

  g_signal_connect (operation, "begin-print", G_CALLBACK (begin_print), NULL);
  g_signal_connect (operation, "draw-page", G_CALLBACK (draw_page), NULL);
  bl_print_run (operation, NULL, NULL);
}

/* --- the sheet --- */

static GtkWidget *
text_label (const char *text, const char *classes)
{
  GtkWidget *label = bl_label (text, classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 84);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_set_can_focus (label, FALSE);
  return label;
}

static void
add_group (GtkWidget *box, const BlCautionGroup *group, const BlSafeLimits *limits)
{
  GtkWidget *title = bl_label (_ (group->title), "heading", 0);

  gtk_widget_set_margin_top (title, 14);
  gtk_box_append (GTK_BOX (box), title);
  for (guint i = 0; i < group->n; i++)
    {
      g_autofree char *text = bl_caution_text (&group->cautions[i], limits);
      GtkWidget *both = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
      gtk_widget_add_css_class (both, "caution");
      gtk_box_append (GTK_BOX (both), text_label (text, ""));
      gtk_box_append (GTK_BOX (both), text_label (bl_caution_source (&group->cautions[i]), "muted small"));
      gtk_box_append (GTK_BOX (box), both);
    }
}

static GtkWidget *
new_sheet (void)
{
  GtkWidget *scrolled = gtk_scrolled_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  BlSafeLimits limits = bl_safe_settings_limits ();
  guint n;
  const BlCautionGroup *groups = bl_caution_groups (&n);

  gtk_widget_set_margin_start (box, 24);
  gtk_widget_set_margin_end (box, 24);
  gtk_widget_set_margin_top (box, 16);
  gtk_widget_set_margin_bottom (box, 16);
  gtk_box_append (GTK_BOX (box), text_label (bl_caution_first (), "caution-first"));
  for (guint i = 0; i < n; i++)
    add_group (box, &groups[i], &limits);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), box);
  gtk_widget_set_vexpand (scrolled, TRUE);
  return scrolled;
}

/* A button and the key that presses it, here a letter: nothing is typed on the sheet. */
static void
add_button (GtkWidget *foot, const char *key, guint keyval, const char *label, GCallback pressed, GtkWidget *note)
{
  GtkWidget *button = gtk_button_new_with_label (label);
  GtkEventController *controller = gtk_shortcut_controller_new ();

  gtk_widget_add_css_class (button, "plain");
  g_signal_connect (button, "clicked", pressed, note);
  gtk_shortcut_controller_set_scope (GTK_SHORTCUT_CONTROLLER (controller), GTK_SHORTCUT_SCOPE_GLOBAL);
  gtk_shortcut_controller_add_shortcut (
    GTK_SHORTCUT_CONTROLLER (controller),
    gtk_shortcut_new (gtk_keyval_trigger_new (keyval, 0), g_object_ref (gtk_activate_action_get ())));
  gtk_widget_add_controller (button, controller);
  gtk_box_append (GTK_BOX (foot), bl_key_cap (key));
  gtk_box_append (GTK_BOX (foot), button);
}

static GtkWidget *
new_foot (void)
{
  GtkWidget *foot = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *note = bl_label ("", "muted small", 0);

  gtk_widget_set_margin_start (foot, 24);
  gtk_widget_set_margin_end (foot, 24);
  gtk_widget_set_margin_top (foot, 8);
  gtk_widget_set_margin_bottom (foot, 8);
  gtk_widget_set_hexpand (note, TRUE);
  gtk_label_set_ellipsize (GTK_LABEL (note), PANGO_ELLIPSIZE_MIDDLE);
  gtk_box_append (GTK_BOX (foot), note);
  add_button (foot, "F", GDK_KEY_f, _ ("Write a PDF…"), G_CALLBACK (save), note);
  add_button (foot, "P", GDK_KEY_p, _ ("Print…"), G_CALLBACK (print), note);
  return foot;
}

void
bl_cautions_show (GtkWindow *parent)
{
  GtkWidget *window = gtk_window_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *sheet = new_sheet ();
  GtkEventController *controller = gtk_shortcut_controller_new ();

  gtk_box_append (GTK_BOX (box), sheet);
  gtk_box_append (GTK_BOX (box), new_foot ());
  gtk_window_set_title (GTK_WINDOW (window), _ ("Cautions"));
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_set_default_size (GTK_WINDOW (window), 720, 680);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_destroy_with_parent (GTK_WINDOW (window), TRUE);
  gtk_shortcut_controller_add_shortcut (
    GTK_SHORTCUT_CONTROLLER (controller),
    gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_named_action_new ("window.close")));
  gtk_widget_add_controller (window, controller);
  bl_style_dress (window);
  /* So that Page Down turns it. */
  gtk_widget_set_focusable (sheet, TRUE);
  gtk_window_set_focus (GTK_WINDOW (window), sheet);
  gtk_window_present (GTK_WINDOW (window));
}
