/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The board editor: what is open, what is selected, how it is laid out. What an act does is said in
 * bl-editor-acts.c. A third of the file is the laying out of fixed rows.
 *
 * The document is BlEdition's; what the parts say about it is written by bl-editor-points.c and its
 * like into sheets, anew after every change, in an idle so that nobody's button vanishes under its own
 * signal. The photo is bl-editor-photo.c's. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bundle-actions.h"
#include "bl-missing.h"
#include "bl-style.h"
#include "bl-window.h"

enum
{
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlEditor, bl_editor, GTK_TYPE_WIDGET)

static const char *const part_titles[BL_N_EDITOR_PARTS]
  = { N_ ("Points"), N_ ("Structure"), N_ ("States, symptoms"), N_ ("Board"), N_ ("Checks") };

gboolean
bl_editor_report (BlEditor *self, GError *error)
{
  bl_widget_report (GTK_WIDGET (self), _ ("Nothing was changed"), error);
  return FALSE;
}

/* --- showing --- */

static void
show_step (GtkWidget *button, const char *word, const char *label)
{
  g_autofree char *text = label != NULL ? g_strdup_printf ("%s: %s", word, label) : g_strdup (word);

  gtk_label_set_label (GTK_LABEL (g_object_get_data (G_OBJECT (button), "label")), text);
  gtk_widget_set_sensitive (button, label != NULL);
  bl_widget_name (button, text);
}

static void
show_head (BlEditor *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autofree char *title = bl_board_title (board->board_number, board->edition);
  g_autofree char *maker = g_strdup_printf ("%s %s", board->maker != NULL ? board->maker : "",
                                            board->model != NULL ? board->model : "");

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->maker), g_strstrip (maker));
  show_step (self->undo, _ ("undo"), bl_edition_get_undo_label (self->edition));
  show_step (self->redo, _ ("redo"), bl_edition_get_redo_label (self->edition));
}

static void
show_hand (BlEditor *self)
{
  gboolean points = self->part == BL_EDITOR_POINTS, structure = self->part == BL_EDITOR_STRUCTURE;
  const char *point = points && self->has_selected && self->selected.element == BL_ELEMENT_TEST_POINT ? self->selected.id
                      : NULL;
  const BlMeasurement *measurement = points && self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT
                                       ? bl_board_measurement (bl_edition_get_board (self->edition), self->selected.id)
                                       : NULL;

  if (measurement != NULL)
    point = measurement->at;
  gtk_widget_set_visible (gtk_widget_get_parent (gtk_widget_get_parent (self->hand_scroll)), points || structure);
  gtk_widget_set_visible (self->entry, point != NULL);
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), self->edition, point);
  bl_sheet_begin (BL_SHEET (self->hand), self->edition);
  if (points)
    bl_editor_points_hand (self, BL_SHEET (self->hand));
  else if (structure)
    bl_editor_structure_hand (self, BL_SHEET (self->hand));
  bl_sheet_end (BL_SHEET (self->hand));
}

static void
show_list (BlEditor *self)
{
  BlSheet *sheet = BL_SHEET (self->list);

  bl_sheet_begin (sheet, self->edition);
  switch (self->part)
    {
    case BL_EDITOR_POINTS:
      bl_editor_points_list (self, sheet);
      break;
    case BL_EDITOR_STRUCTURE:
      bl_editor_structure_list (self, sheet);
      break;
    case BL_EDITOR_STATES:
      bl_editor_states_list (self, sheet);
      break;
    case BL_EDITOR_BOARD:
      bl_editor_board_list (self, sheet);
      break;
    case BL_EDITOR_CHECKS:
    case BL_N_EDITOR_PARTS:
    default:
      bl_editor_checks_list (self, sheet);
      break;
    }
  bl_sheet_end (sheet);
  bl_sheet_mark (sheet, self->has_selected ? &self->selected : NULL);
}

static gboolean
refresh (gpointer data)
{
  BlEditor *self = data;

  self->refresh_idle = 0;
  if (self->edition == NULL)
    return G_SOURCE_REMOVE;
  if (self->has_selected && bl_ref_find (bl_edition_get_board (self->edition), &self->selected) == NULL)
    self->has_selected = FALSE;
  show_head (self);
  show_hand (self);
  show_list (self);
  return G_SOURCE_REMOVE;
}

void
bl_editor_queue_refresh (BlEditor *self)
{
  if (self->refresh_idle == 0)
    self->refresh_idle = g_idle_add_full (G_PRIORITY_HIGH_IDLE, refresh, self, NULL);
}

static void
edition_changed (BlEditor *self)
{
  self->changed = TRUE;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

/* --- selecting --- */

void
bl_editor_select (BlEditor *self, const BlRef *ref)
{
  if (ref == NULL ? !self->has_selected : self->has_selected && bl_ref_equal (&self->selected, ref))
    return;
  self->has_selected = ref != NULL;
  if (ref != NULL)
    self->selected = *ref;
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

static void
scroll_to_top (GtkWidget *scrolled)
{
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled)), 0);
}

void
bl_editor_set_part (BlEditor *self, BlEditorPart part)
{
  self->part = part;
  for (guint i = 0; i < BL_N_EDITOR_PARTS; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->parts[i]), i == part);
  gtk_widget_set_visible (self->tool_point, part == BL_EDITOR_POINTS || part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_visible (self->tool_rectangle, part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_visible (self->tool_polygon, part == BL_EDITOR_STRUCTURE);
  gtk_widget_set_size_request (self->hand_scroll, -1, part == BL_EDITOR_STRUCTURE ? 300 : 196);
  bl_editor_set_tool (self, FALSE, BL_PHOTO_TOOL_NONE);
  bl_editor_keys_show (self->keys, part);
  self->has_selected = FALSE;
  scroll_to_top (self->list_scroll);
  scroll_to_top (self->hand_scroll);
  gtk_widget_grab_focus (self->photo);
  bl_editor_photo_refresh (self);
  bl_editor_queue_refresh (self);
}

static BlEditorPart
part_of (const BlRef *ref)
{
  switch (ref->element)
    {
    case BL_ELEMENT_TEST_POINT:
    case BL_ELEMENT_MEASUREMENT:
    case BL_ELEMENT_MARK:
      return BL_EDITOR_POINTS;
    case BL_ELEMENT_SECTION:
    case BL_ELEMENT_STAGE:
    case BL_ELEMENT_PORT:
    case BL_ELEMENT_FEED:
    case BL_ELEMENT_COMPONENT:
    case BL_ELEMENT_MODE:
    case BL_ELEMENT_SHOW:
    case BL_ELEMENT_EFFECT:
    case BL_ELEMENT_PROVOKES:
      return BL_EDITOR_STRUCTURE;
    case BL_ELEMENT_STATE:
    case BL_ELEMENT_SYMPTOM:
    case BL_ELEMENT_WHEN:
    case BL_ELEMENT_INDICATION:
    case BL_ELEMENT_LAMP:
      return BL_EDITOR_STATES;
    case BL_ELEMENT_BOARD:
    case BL_ELEMENT_PHOTO:
    case BL_N_ELEMENTS:
    default:
      return BL_EDITOR_BOARD;
    }
}

/* The part of the document that is selected when something inside it is meant. */
static BlRef
holder_of (const BlRef *ref)
{
  if (ref->element == BL_ELEMENT_MARK)
    return bl_ref (BL_ELEMENT_MEASUREMENT, ref->id);
  if (ref->element == BL_ELEMENT_FEED)
    return bl_ref (BL_ELEMENT_STAGE, ref->id);
  if (ref->mode != NULL)
    return bl_ref (BL_ELEMENT_COMPONENT, ref->id);
  return *ref;
}

void
bl_editor_go_to (BlEditor *self, const BlRef *ref)
{
  BlRef holder = holder_of (ref);
  BlEditorPart part = part_of (ref);

  if (part != self->part)
    bl_editor_set_part (self, part);
  if (part == BL_EDITOR_POINTS || part == BL_EDITOR_STRUCTURE)
    {
      bl_editor_select (self, &holder);
      bl_editor_photo_reveal (self, &holder);
    }
  else if (bl_slot_exists (holder.element, BL_SLOT_TITLE))
    bl_sheet_focus (BL_SHEET (self->list), &holder, BL_SLOT_TITLE);
}

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

void
bl_editor_leave (BlEditor *self)
{
  g_signal_emit (self, signals[CLOSED], 0);
}

/* --- opening --- */

BlEdition *
bl_editor_get_edition (BlEditor *self)
{
  g_return_val_if_fail (BL_IS_EDITOR (self), NULL);
  return self->edition;
}

void
bl_editor_close (BlEditor *self)
{
  g_return_if_fail (BL_IS_EDITOR (self));
  if (self->edition == NULL)
    return;
  g_signal_handlers_disconnect_by_data (self->edition, self);
  g_clear_handle_id (&self->refresh_idle, g_source_remove);
  bl_editor_photo_forget (self);
  bl_sheet_begin (BL_SHEET (self->hand), NULL);
  bl_sheet_end (BL_SHEET (self->hand));
  bl_sheet_begin (BL_SHEET (self->list), NULL);
  bl_sheet_end (BL_SHEET (self->list));
  bl_measurement_entry_set (BL_MEASUREMENT_ENTRY (self->entry), NULL, NULL);
  self->has_selected = FALSE;
  g_clear_object (&self->edition);
}

gboolean
bl_editor_open (BlEditor *self, gint64 board, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITOR (self), FALSE);
  BlEdition *edition = bl_edition_new (self->library, board, error);

  if (edition == NULL)
    return FALSE;
  bl_editor_close (self);
  self->edition = edition;
  g_signal_connect_swapped (edition, "changed", G_CALLBACK (edition_changed), self);
  bl_editor_photo_show (self, NULL);
  bl_editor_set_part (self, BL_EDITOR_POINTS);
  return TRUE;
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
  GtkWidget *gap = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_box_append (GTK_BOX (strip), self->segments);
  gtk_widget_set_hexpand (gap, TRUE);
  gtk_box_append (GTK_BOX (strip), gap);
  self->tools = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->tool_point = make_button (self, gtk_toggle_button_new (), "segment", _ ("place"), _ ("P"), "tool-point");
  self->tool_rectangle
    = make_button (self, gtk_toggle_button_new (), "segment", _ ("rectangle"), _ ("R"), "tool-rectangle");
  self->tool_polygon = make_button (self, gtk_toggle_button_new (), "segment", _ ("polygon"), _ ("G"), "tool-polygon");
  gtk_box_append (GTK_BOX (self->tools), self->tool_point);
  gtk_box_append (GTK_BOX (self->tools), self->tool_rectangle);
  gtk_box_append (GTK_BOX (self->tools), self->tool_polygon);
  gtk_box_append (GTK_BOX (strip), self->tools);
  gtk_box_append (GTK_BOX (left), strip);
  self->photo = bl_photo_view_new ();
  gtk_widget_set_hexpand (self->photo, TRUE);
  gtk_widget_set_vexpand (self->photo, TRUE);
  bl_photo_view_set_editable (BL_PHOTO_VIEW (self->photo), TRUE);
  gtk_box_append (GTK_BOX (left), self->photo);
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

/* A job on the bench that belongs to this board must not go on with the document as it was. */
static void
bl_editor_unmap (GtkWidget *widget)
{
  BlEditor *self = BL_EDITOR (widget);
  BlWindow *window = bl_window_of (widget);

  if (self->changed && self->edition != NULL && window != NULL && !gtk_widget_in_destruction (GTK_WIDGET (window)))
    bl_window_board_changed (window, bl_edition_get_id (self->edition));
  self->changed = FALSE;
  GTK_WIDGET_CLASS (bl_editor_parent_class)->unmap (widget);
}

static void
bl_editor_dispose (GObject *object)
{
  BlEditor *self = BL_EDITOR (object);

  if (self->box != NULL)
    bl_editor_close (self);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_editor_parent_class)->dispose (object);
}

static void
bl_editor_finalize (GObject *object)
{
  BlEditor *self = BL_EDITOR (object);

  g_hash_table_unref (self->surfaces);
  g_hash_table_unref (self->messages);
  g_clear_object (&self->cancellable);
  g_free (self->photo_id);
  G_OBJECT_CLASS (bl_editor_parent_class)->finalize (object);
}

static void
bl_editor_class_init (BlEditorClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_editor_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_editor_finalize;
  GTK_WIDGET_CLASS (klass)->unmap = bl_editor_unmap;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_EDITOR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
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

static void
bl_editor_init (BlEditor *self)
{
  GtkWidget *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  self->surfaces = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_photo_surface_unref);
  self->messages = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->box), make_head (self));
  gtk_widget_add_css_class (body, "editor-body");
  gtk_widget_set_vexpand (body, TRUE);
  gtk_widget_set_layout_manager (body, gtk_custom_layout_new (NULL, measure_body, allocate_body));
  gtk_box_append (GTK_BOX (body), make_left (self));
  gtk_box_append (GTK_BOX (body), make_right (self));
  gtk_box_append (GTK_BOX (self->box), body);
  self->keys = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 18);
  gtk_widget_add_css_class (self->keys, "key-strip");
  gtk_widget_set_overflow (self->keys, GTK_OVERFLOW_HIDDEN);
  gtk_box_append (GTK_BOX (self->box), self->keys);
  bl_editor_photo_connect (self);
}

GtkWidget *
bl_editor_new (BlLibrary *library)
{
  BlEditor *self = g_object_new (BL_TYPE_EDITOR, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
