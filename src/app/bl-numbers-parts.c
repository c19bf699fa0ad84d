/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Causes and parts as lines of a table. Each bar stands between words and count of its line, so that assistive technology
 * reads the table and misses nothing. The most frequent thirty are shown; the table of comma-separated values has all. */
#include "config.h"

#include "bl-numbers-parts.h"

#include <glib/gi18n-lib.h>

#include "bl-numbers-words.h"
#include "bl-style.h"

enum { MOST = 30, BAR_WIDTH = 120 };

/* --- a bar --- */

#define BL_TYPE_SHARE_BAR (bl_share_bar_get_type ())
G_DECLARE_FINAL_TYPE (BlShareBar, bl_share_bar, BL, SHARE_BAR, GtkWidget)

struct _BlShareBar
{
  GtkWidget parent_instance;

  double share; /* of the whole width, 0 to 1 */
};

G_DEFINE_FINAL_TYPE (BlShareBar, bl_share_bar, GTK_TYPE_WIDGET)

static void
bl_share_bar_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  const BlPalette *palette = bl_style_palette ();
  double width = gtk_widget_get_width (widget), y = gtk_widget_get_height (widget) / 2.0;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) (2 * y)));

  bl_set_source (cr, &palette->hairline);
  cairo_rectangle (cr, 0, y - 1, width, 2);
  cairo_fill (cr);
  bl_set_source (cr, &palette->ink);
  cairo_rectangle (cr, 0, y - 5, width * BL_SHARE_BAR (widget)->share, 10);
  cairo_fill (cr);
  cairo_destroy (cr);
}

static void
bl_share_bar_class_init (BlShareBarClass *klass)
{
  GTK_WIDGET_CLASS (klass)->snapshot = bl_share_bar_snapshot;
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_share_bar_init (BlShareBar *self)
{
  gtk_widget_set_size_request (GTK_WIDGET (self), BAR_WIDTH, 18);
  bl_style_watch (GTK_WIDGET (self));
}

/* --- lines --- */

static void
clear (GtkGrid *grid)
{
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (grid))) != NULL;)
    gtk_grid_remove (grid, child);
}

static void
add_words (GtkGrid *grid, const BlNumbersPart *part, gboolean edition, int row)
{
  g_autofree char *words = bl_numbers_part_words (part, edition);
  GtkWidget *label = bl_label (words, NULL, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_width_chars (GTK_LABEL (label), 20);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_grid_attach (grid, label, 0, row, 1, 1);
}

static void
add_bar (GtkGrid *grid, guint n, guint most, int row)
{
  BlShareBar *bar = g_object_new (BL_TYPE_SHARE_BAR, NULL);

  bar->share = most > 0 ? (double) n / most : 0;
  gtk_grid_attach (grid, GTK_WIDGET (bar), 1, row, 1, 1);
}

/* Takes words. */
static void
add_cell (GtkGrid *grid, char *words, const char *css, int column, int row)
{
  g_autofree char *own = words;
  gtk_grid_attach (grid, bl_label (own, css, 1), column, row, 1, 1);
}

static void
add_more (GtkGrid *grid, guint n)
{
  g_autofree char *words = n > MOST ? g_strdup_printf (_ ("and %u more: Alt E writes all of them"), n - MOST) : NULL;

  if (words != NULL)
    gtk_grid_attach (grid, bl_label (words, "muted", 0), 0, MOST + 1, 3, 1);
}

void
bl_numbers_fill_causes (GtkGrid *grid, const BlNumbers *numbers)
{
  g_return_if_fail (GTK_IS_GRID (grid) && numbers != NULL);
  gboolean bars = numbers->ended >= BL_NUMBERS_FEW;
  guint most = numbers->causes->len > 0 ? ((BlNumbersPart *) bl_at (numbers->causes, 0))->n : 0;

  clear (grid);
  if (numbers->causes->len == 0)
    gtk_grid_attach (grid, bl_label (_ ("No job that ended in the period has a confirmed cause."), "muted", 0), 0, 0, 1, 1);
  for (guint i = 0; i < MIN (numbers->causes->len, (guint) MOST); i++)
    {
      const BlNumbersPart *part = bl_at (numbers->causes, i);
      add_words (grid, part, numbers->ask.board == 0, (int) i);
      if (bars)
        add_bar (grid, part->n, most, (int) i);
      add_cell (grid, bl_numbers_of_words (part->n, numbers->with_cause), "strong figures", 2, (int) i);
    }
  add_more (grid, numbers->causes->len);
}

void
bl_numbers_fill_parts (GtkGrid *grid, const BlNumbers *numbers)
{
  g_return_if_fail (GTK_IS_GRID (grid) && numbers != NULL);
  g_autofree char *months = g_strdup_printf (_ ("expected in %.0f months"), numbers->ask.months);

  clear (grid);
  if (numbers->parts->len == 0)
    {
      gtk_grid_attach (grid, bl_label (_ ("No part was replaced in the period."), "muted", 0), 0, 0, 1, 1);
      return;
    }
  add_cell (grid, g_strdup (_ ("replaced")), "muted small", 1, 0);
  add_cell (grid, g_steal_pointer (&months), "muted small", 2, 0);
  add_cell (grid, g_strdup (C_ ("parts in stock", "keep")), "muted small", 3, 0);
  for (guint i = 0; i < MIN (numbers->parts->len, (guint) MOST); i++)
    {
      const BlNumbersPart *part = bl_at (numbers->parts, i);
      gboolean known = part->stock != G_MAXUINT;
      add_words (grid, part, numbers->ask.board == 0, (int) i + 1);
      add_cell (grid, g_strdup_printf ("%u", part->n), "figures", 1, (int) i + 1);
      add_cell (grid, known ? g_strdup_printf ("%.1f", part->expected) : g_strdup ("–"), "figures", 2, (int) i + 1);
      add_cell (grid, known ? g_strdup_printf ("%u", part->stock) : g_strdup ("–"), "strong figures", 3, (int) i + 1);
    }
  add_more (grid, numbers->parts->len);
}
