/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Setting the landmarks of a photo of the job's own board, one press each, so that what the edition knows stands on
 * the board that lies on the table. From the fifth on the place is foretold by a dashed ring: an offer, for the press
 * says where it is; a landmark taken from the map would prove nothing. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench-page-private.h"
#include "bl-photo-join-words.h"
#include "bl-shell.h"
#include "bl-style.h"

static void act (GtkButton *button, BlBenchPage *self);

/* The number of the photo of the job that is shown; 0: none is. */
static gint64
shown_photo (BlBenchPage *self)
{
  return self->bench != NULL && self->photo_key != NULL && g_str_has_prefix (self->photo_key, "job:")
           ? g_ascii_strtoll (self->photo_key + strlen ("job:"), NULL, 10)
           : 0;
}

static gboolean
is_on (BlBenchPage *self)
{
  return self->registering.photo != 0 && self->registering.photo == shown_photo (self);
}

static BlJobPhotoMap *
map_now (BlBenchPage *self)
{
  gint64 photo = shown_photo (self);
  g_autoptr (GError) error = NULL;
  BlJobPhotoMap *map = photo != 0 ? bl_bench_map_photo (self->bench, photo, &error) : NULL;

  if (error != NULL)
    g_message ("the landmarks of the photo cannot be read: %s", error->message);
  return map;
}

/* The photo of the edition beside it: the one chosen, else of the same side, else the one with the most landmarks. */
static const BlPhoto *
beside_of (BlBenchPage *self, const BlJobPhotoMap *map)
{
  const char *chosen = self->registering.beside, *side = bl_job_photo_map_photo (map)->side;
  const BlPhoto *photo = chosen != NULL ? bl_board_photo (bl_bench_get_board (self->bench), chosen) : NULL;

  if (photo == NULL && side != NULL)
    photo = bl_job_photo_map_of_edition (map, side);
  return photo != NULL ? photo : bl_job_photo_map_of_edition (map, NULL);
}

static const char *
asked_of (BlBenchPage *self, const BlJobPhotoMap *map, const BlPhoto *beside)
{
  const BlBenchRegister *state = &self->registering;
  const BlLandmark *next;

  if (state->again != NULL)
    return state->again;
  next = bl_photo_next_landmark (bl_job_photo_map_photo (map), beside,
                                 state->skipped != NULL ? (const char *const *) state->skipped->pdata : NULL);
  return next != NULL ? next->id : NULL;
}

/* --- showing --- */

static void
add_foretold (GPtrArray *items, const BlJobPhotoMap *map, const BlPhoto *beside, const char *asked)
{
  const BlLandmark *there = asked != NULL ? bl_photo_landmark (beside, asked) : NULL;
  double x, y;

  if (there == NULL || !bl_job_photo_map_place (map, beside->id, there->x, there->y, &x, &y))
    return;
  g_autofree char *name = g_strdup_printf (_ ("%s here?"), asked);
  BlPhotoItem *item = bl_photo_item_new (BL_PHOTO_LANDMARK, NULL, name, x, y);
  item->foretold = TRUE;
  g_ptr_array_add (items, item);
}

static void
show_panel (BlBenchPage *self, const BlJobPhotoMap *map, const BlPhoto *beside, const char *asked)
{
  BlBenchRegister *state = &self->registering;
  g_autoptr (GError) error = NULL;
  gboolean enough = bl_photo_join_common (beside, bl_job_photo_map_photo (map)) >= 4;
  g_autoptr (BlPhotoJoin) join = enough ? bl_job_photo_map_join (map, beside, &error) : NULL;
  g_autofree char *title = bl_photo_name (bl_bench_get_board (self->bench), beside);
  const char *message = NULL;
  BlPhotoSurface *surface = bl_bench_photos_surface (self->photos, beside->id, &message);
  const BlRegisterShown shown = { map, beside, title, asked, state->again != NULL, join,
                                  error != NULL ? error->message : NULL };

  if (surface == NULL || surface != bl_photo_view_get_surface (BL_PHOTO_VIEW (state->view)))
    bl_photo_view_set_surface (BL_PHOTO_VIEW (state->view), surface, message);
  bl_bench_register_panel_show (state, &shown, G_CALLBACK (act), self);
}

void
bl_bench_register_show (BlBenchPage *self, GPtrArray *items, GPtrArray *outlines)
{
  BlBenchRegister *state = &self->registering;
  g_autoptr (BlJobPhotoMap) map = is_on (self) ? map_now (self) : NULL;
  const BlPhoto *beside = map != NULL ? beside_of (self, map) : NULL;

  gtk_widget_set_visible (state->box, beside != NULL);
  gtk_widget_set_visible (state->corner, shown_photo (self) != 0 && beside == NULL);
  bl_photo_view_set_tool (BL_PHOTO_VIEW (self->photo), beside != NULL ? BL_PHOTO_TOOL_PRESS : BL_PHOTO_TOOL_NONE);
  if (beside == NULL)
    return;
  const char *asked = asked_of (self, map, beside);
  /* What is carried over is seen, to be judged; its names would hide where to press. */
  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *item = g_ptr_array_index (items, i);
      item->quiet = TRUE;
    }
  for (guint i = 0; i < outlines->len; i++)
    g_clear_pointer (&((BlPhotoOutline *) g_ptr_array_index (outlines, i))->name, g_free);
  bl_bench_register_add_landmarks (items, bl_job_photo_map_photo (map), asked);
  if (state->again == NULL)
    add_foretold (items, map, beside, asked);
  show_panel (self, map, beside, asked);
}

/* --- acts --- */

static void
forget (BlBenchRegister *state)
{
  state->photo = 0;
  g_clear_pointer (&state->beside, g_free);
  g_clear_pointer (&state->again, g_free);
  g_clear_pointer (&state->skipped, g_ptr_array_unref);
}

static void
toggle (BlBenchPage *self)
{
  BlBenchRegister *state = &self->registering;
  gboolean on = !is_on (self);
  g_autoptr (BlJobPhotoMap) map = map_now (self);

  forget (state);
  if (map == NULL)
    return;
  if (on && beside_of (self, map) == NULL)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("The photos of this edition have no landmarks yet: set four under "
                                              "Boards, Photos, K."));
      return;
    }
  state->photo = on ? shown_photo (self) : 0;
  bl_bench_view_show_marks (self);
  bl_bench_page_focus (self);
}

static void
skip (BlBenchPage *self)
{
  BlBenchRegister *state = &self->registering;
  g_autoptr (BlJobPhotoMap) map = map_now (self);
  const BlPhoto *beside = map != NULL ? beside_of (self, map) : NULL;
  const char *asked = beside != NULL ? asked_of (self, map, beside) : NULL;

  if (state->again == NULL && asked != NULL)
    {
      if (state->skipped == NULL)
        {
          state->skipped = g_ptr_array_new_with_free_func (g_free);
          g_ptr_array_add (state->skipped, NULL);
        }
      g_ptr_array_insert (state->skipped, (int) state->skipped->len - 1, g_strdup (asked));
    }
  g_clear_pointer (&state->again, g_free);
  bl_bench_view_show_marks (self);
}

/* The next photo of the edition that has landmarks stands beside; where some are set already, it says the side. */
static void
other (BlBenchPage *self)
{
  BlBenchRegister *state = &self->registering;
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autoptr (BlJobPhotoMap) map = map_now (self);
  const BlPhoto *beside = map != NULL ? beside_of (self, map) : NULL;
  guint at = 0, n = bl_len (board->photos);
  GError *error = NULL;

  if (beside == NULL || !g_ptr_array_find (board->photos, beside, &at))
    return;
  for (guint i = 1; i < n; i++)
    {
      const BlPhoto *photo = bl_at (board->photos, (at + i) % n);
      if (bl_len (photo->landmarks) == 0)
        continue;
      g_free (state->beside);
      state->beside = g_strdup (photo->id);
      if (bl_len (bl_job_photo_map_photo (map)->landmarks) > 0 && photo->side != NULL)
        bl_bench_page_check (self, bl_bench_set_photo_side (self->bench, state->photo, photo->side, &error),
                             _ ("Side of the photo"), &error);
      break;
    }
  bl_bench_view_show_marks (self);
}

static void
set_again (BlBenchPage *self, const char *landmark)
{
  g_free (self->registering.again);
  self->registering.again = g_strdup (landmark);
  bl_bench_view_show_marks (self);
}

static void
take_away (BlBenchPage *self)
{
  g_autofree char *landmark = g_steal_pointer (&self->registering.again);
  GError *error = NULL;

  bl_bench_page_check (self, bl_bench_remove_photo_landmark (self->bench, self->registering.photo, landmark, &error),
                       _ ("Landmark"), &error);
}

static void
act (GtkButton *button, BlBenchPage *self)
{
  g_autofree char *what = g_strdup (g_object_get_data (G_OBJECT (button), "act"));

  if (!is_on (self))
    return;
  if (g_str_equal (what, "end"))
    toggle (self);
  else if (g_str_equal (what, "skip"))
    skip (self);
  else if (g_str_equal (what, "other"))
    other (self);
  else
    set_again (self, what + strlen ("again "));
  bl_bench_page_focus (self);
}

gboolean
bl_bench_register_press (BlBenchPage *self, double x, double y)
{
  g_autoptr (BlJobPhotoMap) map = is_on (self) ? map_now (self) : NULL;
  const BlPhoto *beside = map != NULL ? beside_of (self, map) : NULL;
  g_autofree char *landmark = beside != NULL ? g_strdup (asked_of (self, map, beside)) : NULL;
  const char *side;
  GError *error = NULL;

  if (!is_on (self))
    return FALSE;
  if (landmark == NULL)
    return TRUE;
  side = g_strcmp0 (bl_job_photo_map_photo (map)->side, beside->side) != 0 ? beside->side : NULL;
  g_clear_pointer (&self->registering.again, g_free);
  bl_bench_page_check (self,
                       bl_bench_set_photo_landmark (self->bench, self->registering.photo, landmark, x, y, side, &error),
                       _ ("Landmark"), &error);
  bl_bench_page_focus (self);
  return TRUE;
}

gboolean
bl_bench_register_key (BlBenchPage *self, guint keyval, GdkModifierType state)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gboolean typing = focus != NULL && GTK_IS_EDITABLE (focus) && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0';
  guint key = gdk_keyval_to_lower (keyval);
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_ALT_MASK);

  if (shown_photo (self) == 0 || bl_bench_page_in_probe (self))
    return FALSE;
  /* A letter alone may be the first of a relay's name. */
  if (key == GDK_KEY_k && modifiers == GDK_ALT_MASK)
    {
      toggle (self);
      return TRUE;
    }
  if (!is_on (self) || typing || modifiers != 0)
    return FALSE;
  if (key == GDK_KEY_Escape)
    toggle (self);
  else if (key == GDK_KEY_s)
    skip (self);
  else if (key == GDK_KEY_b)
    other (self);
  else if (key == GDK_KEY_Delete && self->registering.again != NULL)
    take_away (self);
  else
    return FALSE;
  return TRUE;
}

void
bl_bench_register_photo_changed (BlBenchPage *self)
{
  if (!is_on (self))
    forget (&self->registering);
}

void
bl_bench_register_forget (BlBenchPage *self)
{
  forget (&self->registering);
}

static void
corner_pressed (GtkButton *button, BlBenchPage *self)
{
  toggle (self);
}

GtkWidget *
bl_bench_register_build (BlBenchPage *self, GtkWidget *photos, GtkGrid *corner)
{
  BlBenchRegister *state = &self->registering;
  GtkWidget *panel = bl_bench_register_panel_new (state, G_CALLBACK (act), self);

  state->corner = bl_bench_corner_button (self, _ ("Alt K"), _ ("lay the edition over it"), NULL);
  g_signal_connect (state->corner, "clicked", G_CALLBACK (corner_pressed), self);
  gtk_widget_set_visible (state->corner, FALSE);
  gtk_grid_attach (corner, state->corner, 0, 2, 2, 1);
  return bl_bench_register_beside (panel, photos);
}
