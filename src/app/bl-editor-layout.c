/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the board editor is made of: head, photo with its tools, the panel in hand, the list, the keys. All
 * of it is there from the beginning; what it says is written elsewhere. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-bundle-actions.h"
#include "bl-point-sheet-action.h"
#include "bl-style.h"

static const char *const part_titles[BL_N_EDITOR_PARTS]
  = { N_ ("Points"), N_ ("Structure"), N_ ("States, symptoms"), N_ ("Board"), N_ ("Checks"), N_ ("Known-good"),
      N_ ("Photos") };

/* --- signals of the sheets --- */

static void
sheet_act (BlSheet *sheet, const char *act, gpointer ref, BlEditor *self)
{
  bl_editor_act (self, act, ref);
}

static void
sheet_selected (BlSheet *sheet, gpointer ref, BlEditor *self)
{
  bl_editor_select (self, ref);
  bl_editor_photo_reveal (self, ref);
}

static void
sheet_renamed (BlSheet *sheet, gpointer data, const char *old, const char *name, BlEditor *self)
{
  const BlRef *ref = data;

  if (self->has_selected && self->selected.element == ref->element && g_strcmp0 (self->selected.id, old) == 0)
    self->selected.id = g_intern_string (name);
  bl_editor_photo_refresh (self);
}

static void
sheet_kept (BlSheet *sheet, gpointer ref, int slot, BlEditor *self)
{
  if (self->placing)
    gtk_widget_grab_focus (self->photo);
}

static void
entry_added (BlMeasurementEntry *entry, const char *id, BlEditor *self)
{
  if (self->placing)
    gtk_widget_grab_focus (self->photo);
}

static void
entry_skipped (BlMeasurementEntry *entry, BlEditor *self)
{
  gtk_widget_grab_focus (self->photo);
}

/* --- making --- */

static void
button_act (GtkButton *button, BlEditor *self)
{
  bl_editor_act (self, g_object_get_data (G_OBJECT (button), "act"), NULL);
}

/* A button of the head or a segment. */
static GtkWidget *
make_button (BlEditor *self, GtkWidget *button, const char *css, const char *words, const char *cap, const char *act)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *label = bl_label (words, NULL, 0);

  if (!GTK_IS_TOGGLE_BUTTON (button))
    gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (box), label);
  if (cap != NULL)
    gtk_box_append (GTK_BOX (box), bl_key_cap (cap));
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, css);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, words);
  g_object_set_data_full (G_OBJECT (button), "act", g_strdup (act), g_free);
  g_object_set_data (G_OBJECT (button), "label", label);
  g_signal_connect (button, "clicked", G_CALLBACK (button_act), self);
  return button;
}

static void
start_job (BlEditor *self)
{
  bl_board_start_job (GTK_WIDGET (self), self->library, bl_edition_get_id (self->edition));
}

static void
export_board (BlEditor *self)
{
  bl_board_export (GTK_WIDGET (self), self->library, bl_edition_get_id (self->edition));
}

static void
print_points (BlEditor *self)
{
  bl_point_sheet_print (GTK_WIDGET (self), self->library, bl_edition_get_id (self->edition));
}

static GtkWidget *
plain_button (const char *words, const char *css)
{
  GtkWidget *button = gtk_button_new_with_label (words);

  gtk_widget_add_css_class (button, css);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  return button;
}

static GtkWidget *
make_head (BlEditor *self)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *button;

  gtk_widget_add_css_class (head, "editor-head");
  gtk_box_append (GTK_BOX (head), make_button (self, gtk_button_new (), "act", _ ("‹ all boards"), _ ("Esc"), "leave"));
  self->title = bl_label ("", "title-line", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->title), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (head), self->title);
  self->maker = bl_label ("", "muted", 0);
  gtk_widget_set_hexpand (self->maker, TRUE);
  gtk_label_set_ellipsize (GTK_LABEL (self->maker), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (head), self->maker);
  self->undo = make_button (self, gtk_button_new (), "act", _ ("undo"), _ ("Ctrl Z"), "undo");
  gtk_box_append (GTK_BOX (head), self->undo);
  self->redo = make_button (self, gtk_button_new (), "act", _ ("redo"), _ ("Ctrl Shift Z"), "redo");
  gtk_box_append (GTK_BOX (head), self->redo);
  button = plain_button (_ ("Print points…"), "plain");
  gtk_widget_set_tooltip_text (button, _ ("A sheet for the wall: each photo with its test points numbered and what they "
                                          "read"));
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (print_points), self);
  gtk_box_append (GTK_BOX (head), button);
  button = plain_button (_ ("Export…"), "plain");
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (export_board), self);
  gtk_box_append (GTK_BOX (head), button);
  button = plain_button (_ ("Start a job"), "firm");
  g_signal_connect_swapped (button, "clicked", G_CALLBACK (start_job), self);
  gtk_box_append (GTK_BOX (head), button);
  return head;
}

static GtkWidget *
make_left (BlEditor *self)
{
  GtkWidget *left = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *strip = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  self->segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_box_append (GTK_BOX (strip), self->segments);
  gtk_widget_set_hexpand (self->segments, TRUE);
  self->tools = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->tool_point = make_button (self, gtk_toggle_button_new (), "segment", _ ("place"), _ ("P"), "tool-point");
  self->tool_rectangle
    = make_button (self, gtk_toggle_button_new (), "segment", _ ("rectangle"), _ ("R"), "tool-rectangle");
  self->tool_polygon = make_button (self, gtk_toggle_button_new (), "segment", _ ("polygon"), _ ("G"), "tool-polygon");
  gtk_box_append (GTK_BOX (self->tools), self->tool_point);
  gtk_box_append (GTK_BOX (self->tools), self->tool_rectangle);
  gtk_box_append (GTK_BOX (self->tools), self->tool_polygon);
  GtkWidget *find = make_button (self, gtk_button_new (), "act", _ ("find"), "/", "find");
  gtk_widget_set_margin_start (find, 8);
  gtk_box_append (GTK_BOX (self->tools), find);
  self->tool_layers = make_button (self, gtk_button_new (), "act", _ ("layers"), _ ("L"), "layers");
  gtk_box_append (GTK_BOX (self->tools), self->tool_layers);
  gtk_box_append (GTK_BOX (strip), self->tools);
  gtk_box_append (GTK_BOX (strip), bl_editor_placing_build (self));
  gtk_box_append (GTK_BOX (left), strip);
  self->photo = bl_photo_view_new ();
  gtk_widget_set_hexpand (self->photo, TRUE);
  gtk_widget_set_vexpand (self->photo, TRUE);
  bl_photo_view_set_editable (BL_PHOTO_VIEW (self->photo), TRUE);
  gtk_box_append (GTK_BOX (left), bl_editor_find_build (self, bl_editor_landmarks_build (self)));
  gtk_widget_set_hexpand (left, TRUE);
  return left;
}

static GtkWidget *
make_sheet (BlEditor *self, const char *name, gboolean raised)
{
  GtkWidget *sheet = bl_sheet_new (name, raised);

  g_signal_connect (sheet, "act", G_CALLBACK (sheet_act), self);
  g_signal_connect (sheet, "selected", G_CALLBACK (sheet_selected), self);
  g_signal_connect (sheet, "renamed", G_CALLBACK (sheet_renamed), self);
  g_signal_connect (sheet, "kept", G_CALLBACK (sheet_kept), self);
  return sheet;
}

static GtkWidget *
make_scrolled (GtkWidget *child)
{
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), child);
  return scrolled;
}

static GtkWidget *
make_right (BlEditor *self)
{
  GtkWidget *right = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *parts = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *panel = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *frame = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  for (guint i = 0; i < BL_N_EDITOR_PARTS; i++)
    {
      g_autofree char *act = g_strdup_printf ("part-%u", i);
      self->parts[i] = make_button (self, gtk_toggle_button_new (), "segment", _ (part_titles[i]), NULL, act);
      gtk_box_append (GTK_BOX (parts), self->parts[i]);
    }
  gtk_box_append (GTK_BOX (right), parts);
  self->hand = make_sheet (self, _ ("In hand"), TRUE);
  self->hand_scroll = make_scrolled (self->hand);
  self->entry = bl_measurement_entry_new ();
  g_signal_connect (self->entry, "added", G_CALLBACK (entry_added), self);
  g_signal_connect (self->entry, "skipped", G_CALLBACK (entry_skipped), self);
  g_signal_connect_swapped (self->entry, "said", G_CALLBACK (bl_editor_photo_refresh), self);
  gtk_box_append (GTK_BOX (panel), self->hand_scroll);
  gtk_box_append (GTK_BOX (panel), self->entry);
  gtk_widget_add_css_class (panel, "focus-panel");
  gtk_widget_add_css_class (panel, "editor-hand");
  gtk_box_append (GTK_BOX (frame), panel);
  gtk_box_append (GTK_BOX (right), frame);
  self->list = make_sheet (self, _ ("Parts of the board"), FALSE);
  gtk_widget_add_css_class (self->list, "editor-list");
  self->list_scroll = make_scrolled (self->list);
  gtk_widget_set_vexpand (self->list_scroll, TRUE);
  gtk_box_append (GTK_BOX (right), self->list_scroll);
  return right;
}

/* --- renaming by a double press --- */

static gboolean
rename_later (gpointer data)
{
  BlEditor *self = data;

  if (self->edition != NULL)
    bl_editor_act (self, "rename", NULL);
  g_object_unref (self);
  return G_SOURCE_REMOVE;
}

/* The first press has selected what lies there; a second one renames it, and a third leaves it at that: it
 * would else take the focus from the field. In an entry it selects a word. */
static void
pressed_twice (GtkGestureClick *gesture, int n_press, double x, double y, BlEditor *self)
{
  GtkWidget *within = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (gesture));
  GtkWidget *picked = gtk_widget_pick (within, x, y, GTK_PICK_DEFAULT);

  if (n_press < 2 || !self->has_selected || picked == NULL || GTK_IS_TEXT (picked)
      || gtk_widget_get_ancestor (picked, GTK_TYPE_TEXT) != NULL || (within == self->photo && !self->on_thing))
    return;
  /* After whatever the press itself does with the focus. */
  g_idle_add (rename_later, g_object_ref (self));
}

static void
rename_when_pressed_twice (BlEditor *self, GtkWidget *widget)
{
  GtkGesture *click = gtk_gesture_click_new ();

  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (click), GTK_PHASE_CAPTURE);
  g_signal_connect (click, "pressed", G_CALLBACK (pressed_twice), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (click));
}

/* Photo and panel share the width: the panel from RIGHT_MIN to RIGHT_MAX px, the photo takes the rest. */
#define RIGHT_MIN 636
#define RIGHT_MAX 760
#define BETWEEN 16

static void
measure_body (GtkWidget *body, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  int least[2], wanted[2], i = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (body); child != NULL && i < 2;
       child = gtk_widget_get_next_sibling (child))
    {
      gtk_widget_measure (child, orientation, -1, &least[i], &wanted[i], NULL, NULL);
      i++;
    }
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = least[0] + BETWEEN + least[1];
      *natural = MAX (*minimum, 2 * RIGHT_MIN + BETWEEN);
    }
  else
    {
      *minimum = MAX (least[0], least[1]);
      *natural = MAX (wanted[0], wanted[1]);
    }
}

static void
allocate_body (GtkWidget *body, int width, int height, int baseline)
{
  GtkWidget *left = gtk_widget_get_first_child (body), *right = gtk_widget_get_last_child (body);
  int least, left_least, panel;

  gtk_widget_measure (right, GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL, NULL, NULL);
  gtk_widget_measure (left, GTK_ORIENTATION_HORIZONTAL, -1, &left_least, NULL, NULL, NULL);
  panel = MAX (least, MIN (CLAMP (width * 45 / 100, RIGHT_MIN, RIGHT_MAX), width - BETWEEN - left_least));
  gtk_widget_size_allocate (left, &(GtkAllocation){ 0, 0, width - BETWEEN - panel, height }, -1);
  gtk_widget_size_allocate (right, &(GtkAllocation){ width - panel, 0, panel, height }, -1);
}

GtkWidget *
bl_editor_build (BlEditor *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0), *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_box_append (GTK_BOX (box), make_head (self));
  gtk_box_append (GTK_BOX (box), bl_editor_checklist_build (self));
  gtk_widget_add_css_class (body, "editor-body");
  gtk_widget_set_vexpand (body, TRUE);
  gtk_widget_set_layout_manager (body, gtk_custom_layout_new (NULL, measure_body, allocate_body));
  gtk_box_append (GTK_BOX (body), make_left (self));
  gtk_box_append (GTK_BOX (body), make_right (self));
  gtk_box_append (GTK_BOX (box), body);
  self->keys = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 18);
  gtk_widget_add_css_class (self->keys, "key-strip");
  gtk_widget_set_overflow (self->keys, GTK_OVERFLOW_HIDDEN);
  /* More keys than fit must not make the window wider. */
  GtkWidget *strip = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (strip), GTK_POLICY_EXTERNAL, GTK_POLICY_NEVER);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (strip), self->keys);
  gtk_box_append (GTK_BOX (box), strip);
  rename_when_pressed_twice (self, self->photo);
  rename_when_pressed_twice (self, self->list);
  return box;
}
