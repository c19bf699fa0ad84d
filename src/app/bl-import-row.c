/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A row of the import page: two sides of one thing, one of them chosen. Some hundred rows are made at once, so they
 * are plain widgets without a template. The pictures are small copies. */
#include "config.h"

#include "bl-import-row.h"

#include <glib/gi18n-lib.h>

#include "bl-photo-surface.h"
#include "bl-style.h"

struct _BlImportRow
{
  GtkListBoxRow parent_instance;

  GtkWidget *sides[2]; /* here, theirs */
  char *words[2], *name;
  gboolean setting;
};

enum
{
  CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlImportRow, bl_import_row, GTK_TYPE_LIST_BOX_ROW)

static void
name_row (BlImportRow *self)
{
  gboolean theirs = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->sides[1]));
  /* Translators: what it is, what the library says, what the file says, which one is chosen. */
  g_autofree char *name = g_strdup_printf (_ ("%s: here %s; in the file %s; chosen: %s"), self->name, self->words[0],
                                           self->words[1], theirs ? _ ("the file's") : _ ("the library's"));

  bl_widget_name (GTK_WIDGET (self), name);
}

void
bl_import_row_set (BlImportRow *self, gboolean theirs)
{
  g_return_if_fail (BL_IS_IMPORT_ROW (self));
  self->setting = TRUE;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->sides[theirs ? 1 : 0]), TRUE);
  self->setting = FALSE;
  name_row (self);
}

static void
toggled (GtkToggleButton *button, BlImportRow *self)
{
  if (self->setting || !gtk_toggle_button_get_active (button))
    return;
  name_row (self);
  g_signal_emit (self, signals[CHOSEN], 0, GTK_WIDGET (button) == self->sides[1]);
}

gboolean
bl_import_row_key (BlImportRow *self, guint keyval)
{
  g_return_val_if_fail (BL_IS_IMPORT_ROW (self), FALSE);
  if (keyval != GDK_KEY_Left && keyval != GDK_KEY_Right && keyval != GDK_KEY_space)
    return FALSE;
  gboolean now = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->sides[1]));
  gboolean theirs = keyval == GDK_KEY_space ? !now : keyval == GDK_KEY_Right;
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->sides[theirs ? 1 : 0]), TRUE);
  return TRUE;
}

/* --- making --- */

static GtkWidget *
words_cell (const char *text)
{
  GtkWidget *label = bl_label (text, NULL, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_lines (GTK_LABEL (label), 3);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, text);
  return label;
}

static GtkWidget *
picture_cell (GBytes *image, const char *words)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *picture = gtk_picture_new ();
  g_autoptr (GBytes) small = image != NULL ? bl_photo_thumbnail (image, NULL) : NULL;
  g_autoptr (GdkTexture) texture = small != NULL ? gdk_texture_new_from_bytes (small, NULL) : NULL;

  if (texture != NULL)
    gtk_picture_set_paintable (GTK_PICTURE (picture), GDK_PAINTABLE (texture));
  gtk_picture_set_content_fit (GTK_PICTURE (picture), GTK_CONTENT_FIT_CONTAIN);
  gtk_widget_set_size_request (picture, 180, 120);
  gtk_widget_add_css_class (picture, "thumbnail");
  gtk_widget_set_halign (picture, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (box), picture);
  gtk_box_append (GTK_BOX (box), words_cell (words));
  return box;
}

static void
add_side (BlImportRow *self, GtkWidget *box, guint side, GtkWidget *cell)
{
  GtkWidget *button = gtk_toggle_button_new ();

  gtk_button_set_child (GTK_BUTTON (button), cell);
  gtk_widget_add_css_class (button, "side");
  gtk_widget_set_hexpand (button, TRUE);
  gtk_widget_set_focusable (button, FALSE); /* the row has the focus, so that Up and Down go on working */
  self->sides[side] = button;
  if (side == 1)
    gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (self->sides[0]));
  g_signal_connect (button, "toggled", G_CALLBACK (toggled), self);
  gtk_box_append (GTK_BOX (box), button);
}

static GtkWidget *
row_new (const char *name, const char *what, const char *here, const char *theirs, GtkWidget *cells[2])
{
  BlImportRow *self = g_object_new (BL_TYPE_IMPORT_ROW, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *head = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *sides = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label;

  self->name = g_strdup_printf ("%s %s", name, what);
  self->words[0] = g_strdup (here);
  self->words[1] = g_strdup (theirs);
  if (*name != '\0')
    {
      label = bl_label (name, "strong", 0);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_box_append (GTK_BOX (head), label);
    }
  label = bl_label (what, *name != '\0' ? "muted small" : "small", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, what);
  gtk_box_append (GTK_BOX (head), label);
  gtk_widget_set_size_request (head, 200, -1);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 26);
  gtk_widget_set_valign (head, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), head);
  gtk_box_set_homogeneous (GTK_BOX (sides), TRUE);
  gtk_widget_set_hexpand (sides, TRUE);
  add_side (self, sides, 0, cells[0]);
  add_side (self, sides, 1, cells[1]);
  gtk_box_append (GTK_BOX (box), sides);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (self), box);
  bl_import_row_set (self, FALSE);
  return GTK_WIDGET (self);
}

GtkWidget *
bl_import_row_new (const char *name, const char *what, const char *here, const char *theirs)
{
  GtkWidget *cells[2] = { words_cell (here), words_cell (theirs) };

  return row_new (name, what, here, theirs, cells);
}

GtkWidget *
bl_import_row_new_pictures (const char *name, const char *what, GBytes *here, GBytes *theirs)
{
  const char *mine = here != NULL ? _ ("the picture here alone") : _ ("no picture here");
  const char *other = here != NULL ? _ ("the file's as well, as a photo beside it") : _ ("the file's picture");
  GtkWidget *cells[2] = { picture_cell (here, mine), picture_cell (theirs, other) };

  return row_new (name, what, mine, other, cells);
}

/* --- object --- */

static void
bl_import_row_finalize (GObject *object)
{
  BlImportRow *self = BL_IMPORT_ROW (object);

  g_free (self->words[0]);
  g_free (self->words[1]);
  g_free (self->name);
  G_OBJECT_CLASS (bl_import_row_parent_class)->finalize (object);
}

static void
bl_import_row_class_init (BlImportRowClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_import_row_finalize;
  signals[CHOSEN] = g_signal_new ("chosen", BL_TYPE_IMPORT_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_BOOLEAN);
}

static void
bl_import_row_init (BlImportRow *self)
{
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (self), FALSE);
  gtk_list_box_row_set_selectable (GTK_LIST_BOX_ROW (self), FALSE);
}
