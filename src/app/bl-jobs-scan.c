/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Labels and serial numbers read among the jobs. A label of ours says which job it is; any other code is looked for by its
 * serial number, or as it stands. */
#include "config.h"

#include "bl-jobs-scan.h"

#include <glib/gi18n-lib.h>

#include "bl-code-camera.h"
#include "bl-code-text.h"
#include "bl-shell.h"
#include "bl-style.h"

static void
toggle (BlCodeCamera *camera)
{
  if (bl_code_camera_is_open (camera))
    bl_code_camera_close (camera);
  else
    bl_code_camera_open (camera);
}

static void
code_read (BlCodeCamera *camera, const char *text, GtkEditable *search)
{
  BlShell *shell = bl_shell_of (GTK_WIDGET (camera));
  g_autoptr (BlCodeText) code = bl_code_text_read (text);
  const char *found = text;

  if (code == NULL || (shell != NULL && bl_shell_open_link (shell, text)))
    return;
  for (guint i = 0; i < code->parts->len; i++)
    {
      const BlCodePart *part = g_ptr_array_index (code->parts, i);
      if (part->field == BL_CODE_SERIAL)
        found = part->value;
    }
  gtk_editable_set_text (search, found);
  gtk_widget_grab_focus (GTK_WIDGET (search));
}

gboolean
bl_jobs_scan_entered (GtkWidget *page, GtkEditable *search)
{
  g_return_val_if_fail (GTK_IS_WIDGET (page) && GTK_IS_EDITABLE (search), FALSE);
  g_autofree char *text = g_strdup (gtk_editable_get_text (search));
  BlShell *shell = bl_shell_of (page);

  if (shell == NULL || !bl_shell_open_link (shell, text))
    return FALSE;
  gtk_editable_set_text (search, "");
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlCodeCamera *camera)
{
  if (keyval == GDK_KEY_F12)
    toggle (camera);
  else if (keyval == GDK_KEY_Escape && bl_code_camera_is_open (camera))
    bl_code_camera_close (camera);
  else
    return GDK_EVENT_PROPAGATE;
  return GDK_EVENT_STOP;
}

void
bl_jobs_scan_attach (GtkWidget *page, GtkEditable *search)
{
  g_return_if_fail (GTK_IS_WIDGET (page) && GTK_IS_EDITABLE (search));
  GtkWidget *line = gtk_widget_get_parent (GTK_WIDGET (search)), *box = gtk_widget_get_parent (line);
  GtkWidget *camera = bl_code_camera_new (), *button = bl_act_button ("act", _ ("scan a label"), "F12", FALSE);
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_return_if_fail (GTK_IS_BOX (line) && GTK_IS_BOX (box));
  gtk_box_insert_child_after (GTK_BOX (line), button, GTK_WIDGET (search));
  gtk_widget_set_halign (camera, GTK_ALIGN_END);
  gtk_box_insert_child_after (GTK_BOX (box), camera, line);
  g_signal_connect_object (button, "clicked", G_CALLBACK (toggle), camera, G_CONNECT_SWAPPED);
  g_signal_connect_object (camera, "code", G_CALLBACK (code_read), search, 0);
  g_signal_connect_object (keys, "key-pressed", G_CALLBACK (key_pressed), camera, 0);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  gtk_widget_add_controller (page, keys);
}
