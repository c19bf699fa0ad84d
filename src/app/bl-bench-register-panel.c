/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel beside a photo of the job while its landmarks are set: which one is to be pressed, where it lies on the
 * edition's photo, which are set and how far each is off. Narrow, so that the photo that is pressed keeps the room.
 * What is done with it is in bl-bench-register.c. */
#include "config.h"

#include "bl-bench-register.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-photo-join-words.h"
#include "bl-photo-view.h"
#include "bl-style.h"
#include "bl-wrap-box.h"

#define WIDTH 216  /* px */
#define GAP 8      /* between panel and photo, px */
#define HEIGHT 150 /* of the edition's photo, px */

static GtkWidget *
act_button (const char *words, const char *cap, char *act, GCallback pressed, gpointer data)
{
  GtkWidget *button = bl_act_button ("act", words, cap, TRUE);

  g_object_set_data_full (G_OBJECT (button), "act", act, g_free);
  g_signal_connect (button, "clicked", pressed, data);
  return button;
}

/* --- sizes: the panel is as narrow as it can be, whatever its parts would like --- */

static void
measure_view (GtkWidget *frame, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : HEIGHT;
}

static void
allocate_view (GtkWidget *frame, int width, int height, int baseline)
{
  gtk_widget_size_allocate (gtk_widget_get_first_child (frame), &(GtkAllocation){ 0, 0, width, height }, -1);
}

static GtkWidget *
with_layout (GtkCustomMeasureFunc measure, GtkCustomAllocateFunc allocate)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_set_layout_manager (box, gtk_custom_layout_new (NULL, measure, allocate));
  return box;
}

static void
measure_pair (GtkWidget *pair, GtkOrientation orientation, int for_size, int *minimum, int *natural,
              int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (gtk_widget_get_last_child (pair), orientation, -1, minimum, natural, NULL, NULL);
}

static void
allocate_pair (GtkWidget *pair, int width, int height, int baseline)
{
  GtkWidget *panel = gtk_widget_get_first_child (pair);
  int left = 0, least = 0;

  if (gtk_widget_get_visible (panel))
    {
      gtk_widget_measure (panel, GTK_ORIENTATION_VERTICAL, WIDTH, &least, NULL, NULL, NULL);
      gtk_widget_size_allocate (panel, &(GtkAllocation){ 0, 0, WIDTH, MAX (least, height) }, -1);
      left = WIDTH + GAP;
    }
  const GtkAllocation rest = { left, 0, MAX (0, width - left), height };
  gtk_widget_size_allocate (gtk_widget_get_last_child (pair), &rest, -1);
}

GtkWidget *
bl_bench_register_beside (GtkWidget *panel, GtkWidget *photos)
{
  GtkWidget *pair = with_layout (measure_pair, allocate_pair);

  gtk_box_append (GTK_BOX (pair), panel);
  gtk_box_append (GTK_BOX (pair), photos);
  gtk_widget_set_overflow (pair, GTK_OVERFLOW_HIDDEN);
  return pair;
}

/* --- making --- */

static GtkWidget *
words_label (const char *classes)
{
  GtkWidget *label = bl_label ("", classes, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_width_chars (GTK_LABEL (label), 1);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  return label;
}

GtkWidget *
bl_bench_register_panel_new (BlBenchRegister *self, GCallback act, gpointer data)
{
  GtkWidget *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *foot = bl_wrap_box_new (4, 2);
  GtkWidget *frame = with_layout (measure_view, allocate_view);

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_set_visible (self->box, FALSE);
  self->title = words_label ("heading");
  self->beside_name = bl_label ("", "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->beside_name), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->beside_name, TRUE);
  gtk_box_append (GTK_BOX (head), self->beside_name);
  gtk_box_append (GTK_BOX (head), act_button (_ ("another"), "B", g_strdup ("other"), act, data));
  self->view = bl_photo_view_new ();
  gtk_box_append (GTK_BOX (frame), self->view);
  self->rows = bl_wrap_box_new (4, 2);
  self->words = words_label (NULL);
  bl_wrap_box_append (BL_WRAP_BOX (foot), act_button (_ ("skip"), "S", g_strdup ("skip"), act, data));
  bl_wrap_box_append (BL_WRAP_BOX (foot), act_button (_ ("done"), _ ("Esc"), g_strdup ("end"), act, data));
  gtk_box_append (GTK_BOX (self->box), self->title);
  gtk_box_append (GTK_BOX (self->box), head);
  gtk_box_append (GTK_BOX (self->box), frame);
  gtk_box_append (GTK_BOX (self->box), self->rows);
  gtk_box_append (GTK_BOX (self->box), self->words);
  gtk_box_append (GTK_BOX (self->box), foot);
  gtk_widget_set_overflow (self->box, GTK_OVERFLOW_HIDDEN);
  return self->box;
}

void
bl_bench_register_add_landmarks (GPtrArray *items, const BlPhoto *photo, const char *asked)
{
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (photo->landmarks, i);
      BlPhotoItem *item;
      if (isnan (landmark->x) || isnan (landmark->y))
        continue;
      item = bl_photo_item_new (BL_PHOTO_LANDMARK, landmark->id, landmark->id, landmark->x, landmark->y);
      item->in_hand = g_strcmp0 (landmark->id, asked) == 0;
      g_ptr_array_add (items, item);
    }
}

/* --- words --- */

static char *
title_words (const BlRegisterShown *shown)
{
  const BlLandmark *there = shown->asked != NULL ? bl_photo_landmark (shown->beside, shown->asked) : NULL;

  if (shown->asked == NULL)
    return g_strdup (_ ("All landmarks are set"));
  if (shown->again)
    return g_strdup_printf (_ ("Press %s once more"), shown->asked);
  if (there == NULL || there->notes == NULL || *there->notes == '\0')
    return g_strdup_printf (_ ("Press %s"), shown->asked);
  /* Translators: a landmark's name, and what it is: "L1 (screw hole)". */
  return g_strdup_printf (_ ("Press %s (%s)"), shown->asked, there->notes);
}

static char *
state_words (const BlRegisterShown *shown)
{
  g_autoptr (GPtrArray) lines = g_ptr_array_new_with_free_func (g_free);
  guint n = bl_photo_join_common (shown->beside, bl_job_photo_map_photo (shown->map));
  char *line;

  if (shown->join == NULL && shown->why_not != NULL)
    g_ptr_array_add (lines, g_strdup (shown->why_not));
  else if (shown->join == NULL)
    g_ptr_array_add (lines, g_strdup_printf (_ ("%u of four set. From the fourth on the edition's points, "
                                                "parts and outlines stand on this photo."), n));
  else
    {
      g_ptr_array_add (lines, bl_photo_join_words (shown->join));
      if ((line = bl_photo_join_suspect_words (shown->join)) != NULL)
        g_ptr_array_add (lines, line);
      if ((line = bl_photo_join_sides_words (shown->join)) != NULL)
        g_ptr_array_add (lines, line);
    }
  if (shown->again)
    g_ptr_array_add (lines, g_strdup_printf (_ ("Delete takes %s away."), shown->asked));
  g_ptr_array_add (lines, NULL);
  return g_strjoinv ("\n", (char **) lines->pdata);
}

/* --- showing --- */

static int
place_in_join (const BlPhotoJoin *join, const char *landmark)
{
  for (guint i = 0; join != NULL && i < join->n; i++)
    if (g_str_equal (join->names[i], landmark))
      return (int) i;
  return -1;
}

/* Four always fit, so what is off is told from the fifth on. */
static void
fill_rows (BlBenchRegister *self, const BlRegisterShown *shown, GCallback act, gpointer data)
{
  const BlPhoto *photo = bl_job_photo_map_photo (shown->map);

  for (GtkWidget *child = gtk_widget_get_first_child (self->rows), *next; child != NULL; child = next)
    {
      next = gtk_widget_get_next_sibling (child);
      gtk_widget_unparent (child);
    }
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (photo->landmarks, i);
      int at = place_in_join (shown->join, landmark->id);
      gboolean told = at >= 0 && shown->join->n > 4;
      g_autofree char *off = told ? g_strdup_printf (_ ("%.1f px"), shown->join->residuals[at]) : NULL;
      g_autofree char *words = told ? g_strdup_printf ("%s  %s", landmark->id, off) : g_strdup (landmark->id);
      g_autofree char *tip
        = told ? bl_photo_off_words (shown->join->residuals[at], shown->join->residuals_mm[at]) : NULL;
      GtkWidget *button = act_button (words, NULL, g_strdup_printf ("again %s", landmark->id), act, data);
      g_autofree char *help = told ? g_strdup_printf (_ ("%s off. Press to set it anew."), tip)
                                   : g_strdup (_ ("Press to set it anew."));
      gtk_widget_set_tooltip_text (button, help);
      if (told && shown->join->suspect == at)
        gtk_widget_add_css_class (gtk_button_get_child (GTK_BUTTON (button)), bl_shape_css (BL_SHAPE_HIGH));
      bl_wrap_box_append (BL_WRAP_BOX (self->rows), button);
    }
}

void
bl_bench_register_panel_show (BlBenchRegister *self, const BlRegisterShown *shown, GCallback act, gpointer data)
{
  GPtrArray *items = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_photo_item_free);
  g_autofree char *title = title_words (shown), *state = state_words (shown);
  g_autofree char *name = g_strdup_printf (_ ("edition: %s"), shown->beside_title);

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->words), state);
  gtk_label_set_label (GTK_LABEL (self->beside_name), name);
  bl_photo_view_describe (BL_PHOTO_VIEW (self->view), name);
  bl_bench_register_add_landmarks (items, shown->beside, shown->asked);
  for (guint i = 0; i < items->len; i++)
    {
      BlPhotoItem *item = g_ptr_array_index (items, i);
      item->quiet = !item->in_hand;
    }
  bl_photo_view_set_items (BL_PHOTO_VIEW (self->view), items);
  fill_rows (self, shown, act, data);
}
