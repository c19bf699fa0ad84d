/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo pane of the questions: which photo, and what is marked on it. Pictures come when they are opened. */
#include "config.h"

#include "bl-quiz-photo.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-style.h"

struct _BlQuizPhoto
{
  GtkWidget parent_instance;

  BlQuizRound *round;
  GtkWidget *box, *segments, *view;
  char *shown; /* id of a photo, or NULL */
  GPtrArray *items, *outlines; /* being gathered */
  gboolean filling;
};

enum { TURNED, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlQuizPhoto, bl_quiz_photo, GTK_TYPE_WIDGET)

static GPtrArray *
photos (BlQuizPhoto *self)
{
  return bl_quiz_round_get_board (self->round)->photos;
}

static void
show_picture (BlQuizPhoto *self)
{
  const char *message = NULL;
  const BlPhoto *photo = self->shown != NULL ? bl_board_photo (bl_quiz_round_get_board (self->round), self->shown) : NULL;
  BlPhotoSurface *surface = photo != NULL ? bl_quiz_round_photo (self->round, photo->id, &message) : NULL;
  g_autofree char *title = photo != NULL ? bl_quiz_round_photo_title (self->round, photo) : NULL;
  g_autofree char *words = g_strdup_printf (_ ("Photo: %s"), title != NULL ? title : "–");

  if (photo == NULL)
    message = _ ("This board has no photo yet.");
  bl_photo_view_set_surface (BL_PHOTO_VIEW (self->view), surface, message);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->view), surface != NULL ? words : message);
}

static void
photo_came (BlQuizPhoto *self, const char *id)
{
  if (g_strcmp0 (id, self->shown) == 0)
    show_picture (self);
}

void
bl_quiz_photo_show (BlQuizPhoto *self, const char *id)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self) && id != NULL);
  GtkWidget *button = gtk_widget_get_first_child (self->segments);

  if (g_strcmp0 (id, self->shown) == 0)
    return;
  g_free (self->shown);
  self->shown = g_strdup (id);
  self->filling = TRUE;
  for (; button != NULL; button = gtk_widget_get_next_sibling (button))
    if (GTK_IS_TOGGLE_BUTTON (button) && g_strcmp0 (g_object_get_data (G_OBJECT (button), "photo"), id) == 0)
      gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  self->filling = FALSE;
  show_picture (self);
}

const char *
bl_quiz_photo_get_shown (BlQuizPhoto *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_PHOTO (self), NULL);
  return self->shown;
}

BlPhotoView *
bl_quiz_photo_get_view (BlQuizPhoto *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_PHOTO (self), NULL);
  return BL_PHOTO_VIEW (self->view);
}

static void
turn_to (BlQuizPhoto *self, const char *id)
{
  g_autofree char *kept = g_strdup (id);

  bl_quiz_photo_show (self, kept);
  g_signal_emit (self, signals[TURNED], 0);
}

static void
segment_toggled (GtkToggleButton *button, BlQuizPhoto *self)
{
  if (!self->filling && gtk_toggle_button_get_active (button))
    turn_to (self, g_object_get_data (G_OBJECT (button), "photo"));
}

static void
turn (BlQuizPhoto *self)
{
  guint n = bl_len (photos (self)), next = 0;

  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (((BlPhoto *) bl_at (photos (self), i))->id, self->shown) == 0)
      next = (i + 1) % n;
  if (n > 1)
    turn_to (self, ((BlPhoto *) bl_at (photos (self), next))->id);
}

gboolean
bl_quiz_photo_key (BlQuizPhoto *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_QUIZ_PHOTO (self), FALSE);
  BlPhotoView *view = BL_PHOTO_VIEW (self->view);

  if (state & GDK_ALT_MASK)
    return FALSE;
  switch (keyval)
    {
    case GDK_KEY_F3:
      turn (self);
      return TRUE;
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      bl_photo_view_zoom (view, 1.25);
      return TRUE;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      bl_photo_view_zoom (view, 0.8);
      return TRUE;
    case GDK_KEY_z:
    case GDK_KEY_Z:
      bl_photo_view_fit (view);
      return TRUE;
    default:
      return FALSE;
    }
}

const char *
bl_quiz_photo_turn_words (BlQuizPhoto *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_PHOTO (self), NULL);
  return bl_len (photos (self)) > 1 ? _ ("front, back") : NULL;
}

/* --- marks --- */

void
bl_quiz_photo_clear (BlQuizPhoto *self)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self));
  BlPhotoView *view = BL_PHOTO_VIEW (self->view);

  g_clear_pointer (&self->items, g_ptr_array_unref);
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  self->items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  self->outlines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_outline_free);
  bl_photo_view_set_spot (view, NULL, NAN, NAN);
  bl_photo_view_set_items (view, NULL);
  bl_photo_view_set_outlines (view, NULL);
}

void
bl_quiz_photo_mark (BlQuizPhoto *self, BlQuizOf of, const char *id, const char *words, gboolean in_hand)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self) && self->items != NULL);
  BlQuizWhere where;

  if (!bl_quiz_where (bl_quiz_round_get_board (self->round), of, id, self->shown, &where)
      || g_strcmp0 (where.photo, self->shown) != 0)
    return;
  if (where.outline != NULL)
    {
      BlPhotoOutline *outline = bl_photo_outline_new (of == BL_QUIZ_SECTION ? BL_PHOTO_SECTION : BL_PHOTO_STAGE, id, words,
                                                      where.outline);
      g_ptr_array_add (self->outlines, outline);
      return;
    }
  BlPhotoItem *item = bl_photo_item_new (of == BL_QUIZ_COMPONENT ? BL_PHOTO_COMPONENT : BL_PHOTO_POINT, id, words, where.x,
                                         where.y);
  item->in_hand = in_hand;
  g_ptr_array_add (self->items, item);
}

void
bl_quiz_photo_mark_press (BlQuizPhoto *self, double x, double y, const char *words)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self) && self->items != NULL);
  g_ptr_array_add (self->items, bl_photo_item_new (BL_PHOTO_MARK, "press", words, x, y));
}

void
bl_quiz_photo_mark_black (BlQuizPhoto *self, const char *point)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self) && self->items != NULL);
  BlQuizWhere where;

  if (!bl_quiz_where (bl_quiz_round_get_board (self->round), BL_QUIZ_POINT, point, self->shown, &where)
      || g_strcmp0 (where.photo, self->shown) != 0)
    return;
  g_autofree char *words = g_strdup_printf (_ ("black: %s"), point);
  g_ptr_array_add (self->items, bl_photo_item_new (BL_PHOTO_BLACK, point, words, where.x, where.y));
}

void
bl_quiz_photo_done (BlQuizPhoto *self)
{
  g_return_if_fail (BL_IS_QUIZ_PHOTO (self));
  bl_photo_view_set_outlines (BL_PHOTO_VIEW (self->view), g_steal_pointer (&self->outlines));
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->view), g_steal_pointer (&self->items));
}

/* --- object --- */

static void
bl_quiz_photo_dispose (GObject *object)
{
  BlQuizPhoto *self = BL_QUIZ_PHOTO (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->items, g_ptr_array_unref);
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  g_clear_object (&self->round);
  g_clear_pointer (&self->shown, g_free);
  G_OBJECT_CLASS (bl_quiz_photo_parent_class)->dispose (object);
}

static void
bl_quiz_photo_class_init (BlQuizPhotoClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_quiz_photo_dispose;
  signals[TURNED] = g_signal_new ("turned", BL_TYPE_QUIZ_PHOTO, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_quiz_photo_init (BlQuizPhoto *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->view = bl_photo_view_new ();
  gtk_widget_set_hexpand (self->view, TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_vexpand (self->view, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->segments);
  gtk_box_append (GTK_BOX (self->box), self->view);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

static void
fill_segments (BlQuizPhoto *self)
{
  GtkWidget *first = NULL;

  for (guint i = 0; i < bl_len (photos (self)); i++)
    {
      const BlPhoto *photo = bl_at (photos (self), i);
      g_autofree char *title = bl_quiz_round_photo_title (self->round, photo);
      GtkWidget *button = gtk_toggle_button_new_with_label (title);
      gtk_widget_add_css_class (button, "segment");
      bl_widget_name (button, title);
      gtk_widget_set_focus_on_click (button, FALSE);
      g_object_set_data_full (G_OBJECT (button), "photo", g_strdup (photo->id), g_free);
      if (first != NULL)
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (first));
      else
        first = button;
      g_signal_connect (button, "toggled", G_CALLBACK (segment_toggled), self);
      gtk_box_append (GTK_BOX (self->segments), button);
    }
  GtkWidget *cap = bl_key_cap ("F3");
  gtk_widget_set_margin_start (cap, 8);
  gtk_widget_set_valign (cap, GTK_ALIGN_CENTER);
  gtk_widget_set_visible (cap, bl_len (photos (self)) > 1);
  gtk_box_append (GTK_BOX (self->segments), cap);
}

GtkWidget *
bl_quiz_photo_new (BlQuizRound *round)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (round), NULL);
  BlQuizPhoto *self = g_object_new (BL_TYPE_QUIZ_PHOTO, NULL);

  self->round = g_object_ref (round);
  g_signal_connect_object (round, "photo", G_CALLBACK (photo_came), self, G_CONNECT_SWAPPED);
  fill_segments (self);
  if (bl_len (photos (self)) > 0)
    bl_quiz_photo_show (self, ((BlPhoto *) bl_at (photos (self), 0))->id);
  else
    show_picture (self);
  return GTK_WIDGET (self);
}
