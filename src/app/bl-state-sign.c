/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sign of a job's state, in ink: colour is for verdicts and dangers. It draws and nothing else. */
#include "config.h"

#include "bl-state-sign.h"

#include "bl-style.h"

enum { WIDTH = 34, HEIGHT = 14, BLOCK = 8 };

struct _BlStateSign
{
  GtkWidget parent_instance;

  BlJobState state;
};

G_DEFINE_FINAL_TYPE (BlStateSign, bl_state_sign, GTK_TYPE_WIDGET)

static void
bl_state_sign_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : HEIGHT;
}

static double
place_of (BlJobState state)
{
  switch (state)
    {
    case BL_JOB_WAITING:
      return 5;
    case BL_JOB_ON_THE_BENCH:
    case BL_JOB_WAITING_FOR_PARTS:
      return 13;
    case BL_JOB_PROVING:
      return 21;
    case BL_JOB_HANDED_BACK:
    case BL_JOB_NOT_ECONOMICAL:
    case BL_JOB_RETURNED:
    case BL_N_JOB_STATES:
    default:
      return 29;
    }
}

/* From the right door back to the left one. */
static void
draw_way_back (cairo_t *cr, double y)
{
  cairo_set_line_width (cr, 2);
  cairo_move_to (cr, 29, y);
  cairo_line_to (cr, 6, y);
  cairo_stroke (cr);
  cairo_move_to (cr, 1.5, y);
  cairo_line_to (cr, 9, y - 4.5);
  cairo_line_to (cr, 9, y + 4.5);
  cairo_close_path (cr);
  cairo_fill (cr);
}

static void
bl_state_sign_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlStateSign *self = BL_STATE_SIGN (widget);
  const BlPalette *palette = bl_style_palette ();
  double y = gtk_widget_get_height (widget) / 2.0, x = place_of (self->state);
  gboolean hollow = self->state == BL_JOB_WAITING_FOR_PARTS || self->state == BL_JOB_NOT_ECONOMICAL;
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, gtk_widget_get_width (widget), gtk_widget_get_height (widget)));

  bl_set_source (cr, &palette->edge);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, 1, y);
  cairo_line_to (cr, WIDTH - 1, y);
  cairo_move_to (cr, 0.5, y - 6); /* the doors */
  cairo_line_to (cr, 0.5, y + 6);
  cairo_move_to (cr, WIDTH - 0.5, y - 6);
  cairo_line_to (cr, WIDTH - 0.5, y + 6);
  cairo_stroke (cr);
  bl_set_source (cr, &palette->ink);
  if (self->state == BL_JOB_RETURNED)
    draw_way_back (cr, y);
  cairo_rectangle (cr, x - BLOCK / 2.0, y - BLOCK / 2.0, BLOCK, BLOCK);
  cairo_fill (cr);
  if (hollow)
    {
      bl_set_source (cr, &palette->page);
      cairo_rectangle (cr, x - BLOCK / 2.0 + 2, y - BLOCK / 2.0 + 2, BLOCK - 4, BLOCK - 4);
      cairo_fill (cr);
    }
  cairo_destroy (cr);
}

static void
bl_state_sign_class_init (BlStateSignClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->measure = bl_state_sign_measure;
  widget_class->snapshot = bl_state_sign_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_state_sign_init (BlStateSign *self)
{
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_state_sign_new (void)
{
  return g_object_new (BL_TYPE_STATE_SIGN, NULL);
}

void
bl_state_sign_set (BlStateSign *self, BlJobState state)
{
  g_return_if_fail (BL_IS_STATE_SIGN (self) && (guint) state < BL_N_JOB_STATES);
  if (self->state == state)
    return;
  self->state = state;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
