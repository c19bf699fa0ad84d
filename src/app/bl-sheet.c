/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines of words, slots and buttons.
 *
 * A sheet is described anew after every change of the document. The description is compared line by
 * line with the one shown: what is equal at the beginning and at the end stays, what lies between is
 * made anew. So nobody has to say what a change means for the screen, and the entry one types in is not
 * pulled away. Some two hundred lines at most. The widgets of a line are made in
 * bl-sheet-pieces.c. */
#include "config.h"

#include "bl-sheet-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-band-lane.h"
#include "bl-slot-field.h"
#include "bl-style.h"

enum
{
  ACT,
  SELECTED,
  RENAMED,
  KEPT,
  TYPING,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlSheet, bl_sheet, GTK_TYPE_WIDGET)

static void
piece_free (gpointer data)
{
  BlPiece *piece = data;

  g_free (piece->words);
  g_free (piece->css);
  g_free (piece->cap);
  g_free (piece->tip);
  g_free (piece->act);
  g_clear_object (&piece->widget);
  g_free (piece);
}

static void
line_free (gpointer data)
{
  BlLine *line = data;

  g_free (line->css);
  g_free (line->label);
  g_ptr_array_unref (line->pieces);
  g_string_free (line->signature, TRUE);
  g_free (line);
}

/* --- describing --- */

void
bl_sheet_begin (BlSheet *self, BlEdition *edition)
{
  g_return_if_fail (BL_IS_SHEET (self));
  g_set_object (&self->edition, edition);
  g_clear_pointer (&self->next, g_ptr_array_unref);
  self->next = g_ptr_array_new_with_free_func (line_free);
}

static BlLine *
last_line (BlSheet *self)
{
  g_assert (self->next != NULL && self->next->len > 0);
  return bl_at (self->next, self->next->len - 1);
}

static void
sign (BlLine *line, const char *text)
{
  g_string_append (line->signature, text != NULL ? text : "");
  g_string_append_c (line->signature, '\n');
}

void
bl_sheet_line (BlSheet *self, const char *css, int indent, const BlRef *about, const char *label)
{
  g_return_if_fail (BL_IS_SHEET (self) && self->next != NULL);
  BlLine *line = g_new0 (BlLine, 1);
  g_autofree char *key = about != NULL ? bl_ref_key (about) : g_strdup ("");
  g_autofree char *place = g_strdup_printf ("%d", indent);

  line->css = g_strdup (css);
  line->label = g_strdup (label);
  line->indent = indent;
  line->has_about = about != NULL;
  if (about != NULL)
    line->about = *about;
  line->pieces = g_ptr_array_new_with_free_func (piece_free);
  line->signature = g_string_new (NULL);
  /* The label may change under the reader's eyes: it repeats what is being typed in the line. */
  sign (line, css);
  sign (line, place);
  sign (line, key);
  g_ptr_array_add (self->next, line);
}

static BlPiece *
add_piece (BlSheet *self, BlPieceKind kind, const char *words, const char *css)
{
  BlLine *line = last_line (self);
  BlPiece *piece = g_new0 (BlPiece, 1);
  g_autofree char *mark = g_strdup_printf ("piece %d", kind);

  piece->kind = kind;
  piece->words = g_strdup (words);
  piece->css = g_strdup (css);
  sign (line, mark);
  sign (line, words);
  sign (line, css);
  g_ptr_array_add (line->pieces, piece);
  return piece;
}

void
bl_sheet_words (BlSheet *self, const char *words, const char *css)
{
  g_return_if_fail (BL_IS_SHEET (self));
  add_piece (self, BL_PIECE_WORDS, words, css);
}

void
bl_sheet_name (BlSheet *self, const char *words, const char *css)
{
  g_return_if_fail (BL_IS_SHEET (self) && last_line (self)->has_about);
  add_piece (self, BL_PIECE_NAME, words, css)->ref = last_line (self)->about;
}

void
bl_sheet_slot (BlSheet *self, const BlRef *ref, BlSlot slot, int chars, gboolean named)
{
  g_return_if_fail (BL_IS_SHEET (self) && ref != NULL);
  BlPiece *piece = add_piece (self, BL_PIECE_SLOT, NULL, NULL);
  g_autofree char *key = bl_ref_key (ref);
  g_autofree char *rest = g_strdup_printf ("%d %d %d", slot, chars, named);

  piece->ref = *ref;
  piece->slot = slot;
  piece->chars = chars;
  piece->named = named;
  sign (last_line (self), key);
  sign (last_line (self), rest);
}

void
bl_sheet_button (BlSheet *self, const char *words, const char *cap, const char *tip, const char *act, const BlRef *ref)
{
  g_return_if_fail (BL_IS_SHEET (self) && act != NULL);
  BlPiece *piece = add_piece (self, BL_PIECE_BUTTON, words, NULL);
  g_autofree char *key = ref != NULL ? bl_ref_key (ref) : NULL;

  piece->cap = g_strdup (cap);
  piece->tip = g_strdup (tip);
  piece->act = g_strdup (act);
  if (ref != NULL)
    piece->ref = *ref;
  sign (last_line (self), cap);
  sign (last_line (self), tip);
  sign (last_line (self), act);
  sign (last_line (self), key);
}

void
bl_sheet_lane (BlSheet *self, const char *measurement, gboolean joined)
{
  g_return_if_fail (BL_IS_SHEET (self) && measurement != NULL);
  BlPiece *piece = add_piece (self, BL_PIECE_LANE, measurement, NULL);
  piece->ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement);
  piece->joined = joined;
}

void
bl_sheet_widget (BlSheet *self, const char *key, GtkWidget *widget)
{
  g_return_if_fail (BL_IS_SHEET (self) && GTK_IS_WIDGET (widget));
  add_piece (self, BL_PIECE_WIDGET, key, NULL)->widget = g_object_ref_sink (widget);
}

/* --- making --- */

static void
focus_entered (GtkEventControllerFocus *controller, BlSheet *self)
{
  GtkWidget *line = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  const BlRef *about = g_object_get_data (G_OBJECT (line), "about");
  BlRef ref;

  if (about == NULL)
    return;
  ref = *about;
  g_signal_emit (self, signals[SELECTED], 0, &ref);
}

static void
make_line (BlSheet *self, BlLine *line)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *trouble = bl_label ("", "trouble", 0);
  g_auto (GStrv) classes = g_strsplit (line->css != NULL ? line->css : "", " ", -1);

  line->widget = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "accessible-role",
                               line->label != NULL ? GTK_ACCESSIBLE_ROLE_LIST_ITEM : GTK_ACCESSIBLE_ROLE_GROUP, NULL);
  gtk_widget_add_css_class (line->widget, "sheet-line");
  for (guint i = 0; classes[i] != NULL; i++)
    if (*classes[i] != '\0')
      gtk_widget_add_css_class (line->widget, classes[i]);
  gtk_widget_set_margin_start (row, line->indent);
  /* The row fills its line, or lanes would not join; the line does not grow. */
  gtk_widget_set_vexpand (row, TRUE);
  gtk_widget_set_vexpand (line->widget, FALSE);
  gtk_label_set_wrap (GTK_LABEL (trouble), TRUE);
  gtk_widget_set_visible (trouble, FALSE);
  g_object_set_data (G_OBJECT (line->widget), "trouble", trouble);
  for (guint i = 0; i < line->pieces->len; i++)
    {
      BlPiece *piece = bl_at (line->pieces, i);
      gtk_box_append (GTK_BOX (row), bl_sheet_make_piece (self, piece, line->widget));
    }
  gtk_box_append (GTK_BOX (line->widget), row);
  gtk_box_append (GTK_BOX (line->widget), trouble);
  if (line->has_about)
    {
      GtkEventController *focus = gtk_event_controller_focus_new ();
      g_object_set_data_full (G_OBJECT (line->widget), "about", g_memdup2 (&line->about, sizeof line->about), g_free);
      g_signal_connect (focus, "enter", G_CALLBACK (focus_entered), self);
      gtk_widget_add_controller (line->widget, focus);
    }
}

static gboolean
same (const BlLine *a, const BlLine *b)
{
  return g_string_equal (a->signature, b->signature);
}

static void
refresh_fields (GtkWidget *widget)
{
  if (BL_IS_SLOT_FIELD (widget))
    {
      bl_slot_field_refresh (BL_SLOT_FIELD (widget));
      return;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    refresh_fields (child);
}

static void
refresh_line (BlSheet *self, const BlLine *line)
{
  GtkWidget *lane = g_object_get_data (G_OBJECT (line->widget), "lane");

  refresh_fields (line->widget);
  if (line->label != NULL)
    bl_widget_name (line->widget, line->label);
  for (guint i = 0; lane != NULL && i < line->pieces->len; i++)
    {
      const BlPiece *piece = bl_at (line->pieces, i);
      if (piece->kind == BL_PIECE_LANE)
        bl_band_lane_show (BL_BAND_LANE (lane),
                           bl_board_measurement (bl_edition_get_board (self->edition), piece->ref.id));
    }
}

static GtkWidget *
find_field (GtkWidget *widget, const BlRef *ref, BlSlot slot)
{
  if (BL_IS_SLOT_FIELD (widget))
    return bl_slot_field_get_slot (BL_SLOT_FIELD (widget)) == slot
               && bl_ref_equal (bl_slot_field_get_ref (BL_SLOT_FIELD (widget)), ref)
             ? widget
             : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_field (child, ref, slot);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
take_focus_wish (BlSheet *self)
{
  GtkWidget *field = self->has_focus_wish ? find_field (self->box, &self->focus_ref, self->focus_slot) : NULL;

  if (field == NULL)
    return;
  self->has_focus_wish = FALSE;
  gtk_widget_grab_focus (field);
}

static void
show_mark (BlSheet *self)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      const BlLine *line = bl_at (self->lines, i);
      if (self->has_mark && line->has_about && bl_ref_equal (&line->about, &self->mark))
        gtk_widget_add_css_class (line->widget, "in-hand");
      else
        gtk_widget_remove_css_class (line->widget, "in-hand");
    }
}

void
bl_sheet_end (BlSheet *self)
{
  g_return_if_fail (BL_IS_SHEET (self) && self->next != NULL);
  GPtrArray *old = self->lines, *now = self->next;
  guint head = 0, tail = 0;

  while (head < old->len && head < now->len && same (bl_at (old, head), bl_at (now, head)))
    head++;
  while (tail < old->len - head && tail < now->len - head
         && same (bl_at (old, old->len - 1 - tail), bl_at (now, now->len - 1 - tail)))
    tail++;
  for (guint i = head; i < old->len - tail; i++)
    gtk_box_remove (GTK_BOX (self->box), ((BlLine *) bl_at (old, i))->widget);
  for (guint i = 0; i < now->len; i++)
    {
      BlLine *line = bl_at (now, i), *before = i > 0 ? bl_at (now, i - 1) : NULL;
      if (i < head)
        line->widget = ((BlLine *) bl_at (old, i))->widget;
      else if (i >= now->len - tail)
        line->widget = ((BlLine *) bl_at (old, old->len - (now->len - i)))->widget;
      else
        {
          make_line (self, line);
          gtk_box_insert_child_after (GTK_BOX (self->box), line->widget, before != NULL ? before->widget : NULL);
        }
      refresh_line (self, line);
    }
  g_ptr_array_unref (old);
  self->lines = g_steal_pointer (&self->next);
  show_mark (self);
  take_focus_wish (self);
}

void
bl_sheet_focus (BlSheet *self, const BlRef *ref, BlSlot slot)
{
  g_return_if_fail (BL_IS_SHEET (self) && ref != NULL);
  self->has_focus_wish = TRUE;
  self->focus_ref = *ref;
  self->focus_slot = slot;
  take_focus_wish (self);
}

/* --- into view --- */

#define REVEAL_FRAMES 3 /* until lines that were just described have their place */

static const BlLine *
line_about (BlSheet *self, const BlRef *ref)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      const BlLine *line = bl_at (self->lines, i);
      if (line->has_about && bl_ref_equal (&line->about, ref))
        return line;
    }
  return NULL;
}

static gboolean
reveal_now (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlSheet *self = BL_SHEET (widget);
  GtkWidget *scrolled = gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW);
  const BlLine *line;
  graphene_rect_t at;

  if (--self->reveal_frames > 0)
    return G_SOURCE_CONTINUE;
  self->reveal = 0;
  line = line_about (self, &self->reveal_ref);
  if (line == NULL || scrolled == NULL || !gtk_widget_compute_bounds (line->widget, widget, &at))
    return G_SOURCE_REMOVE;
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled));
  double top = gtk_adjustment_get_value (adjustment), page = gtk_adjustment_get_page_size (adjustment);
  /* What belongs to it follows it: it comes into the upper third. */
  if (at.origin.y < top || at.origin.y + at.size.height > top + page)
    gtk_adjustment_set_value (adjustment, at.origin.y - page / 4);
  return G_SOURCE_REMOVE;
}

void
bl_sheet_reveal (BlSheet *self, const BlRef *ref)
{
  g_return_if_fail (BL_IS_SHEET (self) && ref != NULL);
  self->reveal_ref = *ref;
  self->reveal_frames = REVEAL_FRAMES;
  if (self->reveal == 0)
    self->reveal = gtk_widget_add_tick_callback (GTK_WIDGET (self), reveal_now, NULL, NULL);
}

void
bl_sheet_mark (BlSheet *self, const BlRef *ref)
{
  g_return_if_fail (BL_IS_SHEET (self));
  self->has_mark = ref != NULL;
  if (ref != NULL)
    self->mark = *ref;
  show_mark (self);
}

/* --- object --- */

static void
bl_sheet_dispose (GObject *object)
{
  BlSheet *self = BL_SHEET (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_sheet_parent_class)->dispose (object);
}

static void
bl_sheet_finalize (GObject *object)
{
  BlSheet *self = BL_SHEET (object);

  g_ptr_array_unref (self->lines);
  g_clear_pointer (&self->next, g_ptr_array_unref);
  G_OBJECT_CLASS (bl_sheet_parent_class)->finalize (object);
}

static void
bl_sheet_class_init (BlSheetClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_SHEET;

  G_OBJECT_CLASS (klass)->dispose = bl_sheet_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_sheet_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST);
  signals[ACT] = g_signal_new ("act", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_STRING,
                               G_TYPE_POINTER);
  signals[SELECTED] = g_signal_new ("selected", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                    G_TYPE_POINTER);
  signals[RENAMED] = g_signal_new ("renamed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 3,
                                   G_TYPE_POINTER, G_TYPE_STRING, G_TYPE_STRING);
  signals[KEPT] = g_signal_new ("kept", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_POINTER,
                                G_TYPE_INT);
  signals[TYPING] = g_signal_new ("typing", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 3,
                                  G_TYPE_POINTER, G_TYPE_INT, G_TYPE_STRING);
}

static void
bl_sheet_init (BlSheet *self)
{
  self->lines = g_ptr_array_new_with_free_func (line_free);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_set_valign (self->box, GTK_ALIGN_START);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
bl_sheet_new (const char *name, gboolean raised)
{
  BlSheet *self = g_object_new (BL_TYPE_SHEET, NULL);

  self->raised = raised;
  bl_widget_name (GTK_WIDGET (self), name);
  return GTK_WIDGET (self);
}
