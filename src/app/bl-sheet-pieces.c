/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The widgets of a sheet's lines: words, names, slots with what is wrong with them, buttons, lanes. What
 * is typed as an expected value is drawn in the lane of its line at once. */
#include "config.h"

#include "bl-sheet-private.h"

#include <string.h>

#include "bl-band-lane.h"
#include "bl-slot-field.h"
#include "bl-style.h"

#define COLUMN 27 /* characters */

static GtkWidget *
line_part (GtkWidget *line, const char *name)
{
  return g_object_get_data (G_OBJECT (line), name);
}

static void
slot_trouble (BlSlotField *field, const char *message, GtkWidget *line)
{
  GtkWidget *label = line_part (line, "trouble");

  gtk_label_set_label (GTK_LABEL (label), message != NULL ? message : "");
  gtk_widget_set_visible (label, message != NULL);
}

/* What the typed text would expect, drawn while it is typed; and why it is none. */
static void
slot_typing (BlSlotField *field, GtkWidget *line)
{
  GtkWidget *lane = line_part (line, "lane"), *sheet = gtk_widget_get_ancestor (line, BL_TYPE_SHEET);
  const BlRef *ref = bl_slot_field_get_ref (field);
  g_autoptr (GError) error = NULL;

  if (sheet != NULL)
    g_signal_emit_by_name (sheet, "typing", ref, (int) bl_slot_field_get_slot (field), bl_slot_field_get_text (field));
  if (bl_slot_field_get_slot (field) != BL_SLOT_EXPECTED || sheet == NULL || BL_SHEET (sheet)->edition == NULL)
    return;
  g_autoptr (BlBoard) draft = bl_board_copy (bl_edition_get_board (BL_SHEET (sheet)->edition));
  if (bl_board_measurement (draft, ref->id) == NULL)
    return;
  if (bl_slot_set (draft, ref, BL_SLOT_EXPECTED, bl_slot_field_get_text (field), &error))
    {
      if (lane != NULL)
        bl_band_lane_show (BL_BAND_LANE (lane), bl_board_measurement (draft, ref->id));
      slot_trouble (field, NULL, line);
      return;
    }
  if (lane != NULL)
    bl_band_lane_show (BL_BAND_LANE (lane), NULL);
  slot_trouble (field, error->message, line);
}

static void
slot_kept (BlSlotField *field, BlSheet *self)
{
  g_signal_emit_by_name (self, "kept", bl_slot_field_get_ref (field), (int) bl_slot_field_get_slot (field));
}

static void
slot_renamed (BlSlotField *field, const char *old, const char *name, BlSheet *self)
{
  g_signal_emit_by_name (self, "renamed", bl_slot_field_get_ref (field), old, name);
}

static GtkWidget *
make_slot (BlSheet *self, const BlPiece *piece, GtkWidget *line)
{
  GtkWidget *field = bl_slot_field_new (self->edition, &piece->ref, piece->slot, piece->chars);

  g_signal_connect_object (field, "trouble", G_CALLBACK (slot_trouble), line, 0);
  g_signal_connect_object (field, "typing", G_CALLBACK (slot_typing), line, 0);
  g_signal_connect_object (field, "kept", G_CALLBACK (slot_kept), self, 0);
  g_signal_connect_object (field, "renamed", G_CALLBACK (slot_renamed), self, 0);
  if (!piece->named)
    return field;
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_box_append (GTK_BOX (box), bl_label (bl_slot_label (piece->ref.element, piece->slot), "muted", 0));
  gtk_box_append (GTK_BOX (box), field);
  gtk_widget_set_hexpand (box, piece->chars < 0);
  return box;
}

static void
button_pressed (GtkButton *button, BlSheet *self)
{
  const char *act = g_object_get_data (G_OBJECT (button), "act");
  BlRef ref = *(BlRef *) g_object_get_data (G_OBJECT (button), "ref");

  if (act != NULL)
    g_signal_emit_by_name (self, "act", act, &ref);
  else
    g_signal_emit_by_name (self, "selected", &ref);
}

static GtkWidget *
make_button (BlSheet *self, const BlPiece *piece)
{
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *label = bl_label (piece->words, piece->css, 0);

  gtk_box_append (GTK_BOX (box), label);
  if (piece->cap != NULL)
    gtk_box_append (GTK_BOX (box), bl_key_cap (piece->cap));
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, piece->kind == BL_PIECE_NAME ? "row-button" : "act");
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  bl_widget_name (button, piece->tip != NULL ? piece->tip : piece->words);
  if (piece->tip != NULL)
    gtk_widget_set_tooltip_text (button, piece->tip);
  g_object_set_data_full (G_OBJECT (button), "act", g_strdup (piece->act), g_free);
  g_object_set_data_full (G_OBJECT (button), "ref", g_memdup2 (&piece->ref, sizeof piece->ref), g_free);
  g_signal_connect_object (button, "clicked", G_CALLBACK (button_pressed), self, 0);
  return button;
}

static GtkWidget *
make_words (const BlPiece *piece)
{
  GtkWidget *label = bl_label (piece->words, piece->css, 0);
  gboolean wrap = piece->css != NULL && strstr (piece->css, "wrap") != NULL;

  if (wrap)
    {
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
      /* As wide in every line, so that lines of two such pieces stand in columns. */
      if (strstr (piece->css, "column") != NULL)
        {
          gtk_label_set_width_chars (GTK_LABEL (label), COLUMN);
          gtk_label_set_max_width_chars (GTK_LABEL (label), COLUMN);
        }
      else
        gtk_widget_set_hexpand (label, TRUE);
    }
  else if (piece->css != NULL && strstr (piece->css, "stretch") != NULL)
    {
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      if (strstr (piece->css, "twoline") != NULL)
        {
          gtk_label_set_wrap (GTK_LABEL (label), TRUE);
          gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
          gtk_label_set_lines (GTK_LABEL (label), 2);
        }
      gtk_widget_set_hexpand (label, TRUE);
      gtk_widget_set_tooltip_text (label, piece->words);
    }
  return label;
}

GtkWidget *
bl_sheet_make_piece (BlSheet *self, BlPiece *piece, GtkWidget *line)
{
  GtkWidget *lane;

  switch (piece->kind)
    {
    case BL_PIECE_WORDS:
      return make_words (piece);
    case BL_PIECE_SLOT:
      return make_slot (self, piece, line);
    case BL_PIECE_LANE:
      lane = bl_band_lane_new (piece->joined, self->raised);
      g_object_set_data (G_OBJECT (line), "lane", lane);
      return lane;
    case BL_PIECE_WIDGET:
      return piece->widget;
    case BL_PIECE_NAME:
    case BL_PIECE_BUTTON:
    default:
      return make_button (self, piece);
    }
}
