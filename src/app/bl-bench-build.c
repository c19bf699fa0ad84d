/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of the bench, made once and put in their places: photos, what is in hand, lists, tree, log, panels. What they
 * say to each other is carried by bl-bench-page.c. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-bench-proving.h"
#include "bl-bench-supply-ask.h"
#include "bl-proving-panel.h"
#include "bl-style.h"

static GtkWidget *
lower_panel (const char *title, const char *key, const char *hint, GtkWidget *content)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4), *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *words = bl_label (hint, "muted small", 0);

  gtk_box_append (GTK_BOX (head), bl_label (title, "heading", 0));
  if (key != NULL)
    gtk_box_append (GTK_BOX (head), bl_key_cap (key));
  gtk_label_set_ellipsize (GTK_LABEL (words), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (head), words);
  gtk_box_append (GTK_BOX (box), head);
  gtk_widget_set_vexpand (content, TRUE);
  gtk_box_append (GTK_BOX (box), content);
  gtk_widget_set_overflow (box, GTK_OVERFLOW_HIDDEN);
  return box;
}

static GtkWidget *
new_photo (BlBenchPage *self)
{
  GtkWidget *photo = bl_photo_view_new ();

  g_signal_connect (photo, "point-activated", G_CALLBACK (bl_bench_view_point_activated), self);
  g_signal_connect (photo, "clicked", G_CALLBACK (bl_bench_view_pressed), self);
  gtk_widget_set_hexpand (photo, TRUE);
  return photo;
}

static GtkWidget *
photo_place (BlBenchPage *self)
{
  GtkWidget *overlay = gtk_overlay_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);

  gtk_box_set_homogeneous (GTK_BOX (box), TRUE);
  self->photo = new_photo (self);
  self->twin = bl_photo_view_new ();
  gtk_widget_set_visible (self->twin, FALSE);
  gtk_box_append (GTK_BOX (box), self->photo);
  gtk_box_append (GTK_BOX (box), self->twin);
  gtk_box_append (GTK_BOX (box), bl_bench_wiring_build (self));
  self->chip = bl_bench_find_corner (self);
  gtk_overlay_set_child (GTK_OVERLAY (overlay), bl_bench_register_build (self, box, GTK_GRID (self->chip)));
  gtk_widget_add_css_class (self->chip, "photo-chip");
  gtk_widget_set_halign (self->chip, GTK_ALIGN_END);
  gtk_widget_set_valign (self->chip, GTK_ALIGN_END);
  gtk_overlay_add_overlay (GTK_OVERLAY (overlay), self->chip);
  bl_bench_find_build (self, GTK_OVERLAY (overlay));
  return overlay;
}

/* Photos to choose from, then the sections, in as many lines as their names need. */
static GtkWidget *
photo_strip (BlBenchPage *self)
{
  self->strip = bl_wrap_box_new (10, 2);
  self->segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  bl_wrap_box_append (BL_WRAP_BOX (self->strip), self->segments);
  return self->strip;
}

static void
choice_closed (BlBenchPage *self)
{
  bl_bench_repair_keep (self);
  bl_bench_page_focus (self);
}

void
bl_bench_build_layout (BlBenchPage *self)
{
  BlBenchLayout *layout;

  self->layout = bl_bench_layout_new ();
  layout = BL_BENCH_LAYOUT (self->layout);
  self->focus = bl_focus_panel_new ();
  self->list = bl_measurement_list_new ();
  self->suspects = bl_suspects_view_new ();
  self->next = bl_next_view_new ();
  self->tree = bl_tree_view_new ();
  self->chart = bl_tree_pane_new ();
  self->log = bl_log_view_new ();
  self->choice = bl_choice_panel_new ();
  self->why = bl_why_panel_new ();
  self->shown = bl_fault_panel_new ();
  self->proving = bl_proving_panel_new ();
  bl_bench_layout_put (layout, BL_PLACE_STRIP, photo_strip (self));
  bl_bench_layout_put (layout, BL_PLACE_PHOTO, photo_place (self));
  bl_bench_layout_put (layout, BL_PLACE_FOCUS, self->focus);
  bl_bench_layout_put (layout, BL_PLACE_LIST, self->list);
  bl_bench_layout_put (layout, BL_PLACE_SUSPECTS,
                       lower_panel (_ ("Suspects"), "F7", _ ("part tested or replaced"), self->suspects));
  bl_bench_layout_put (layout, BL_PLACE_NEXT,
                       lower_panel (_ ("Measure next"), NULL, _ ("an offer; any order is fine"), self->next));
  bl_bench_layout_put (layout, BL_PLACE_TREE,
                       lower_panel (_ ("Fault tree"), "F6", _ ("causes run left to right"), self->tree));
  GtkWidget *log = lower_panel (_ ("Bench log"), "F8", _ ("newest first"), self->log);
  self->log_hint = gtk_widget_get_last_child (gtk_widget_get_first_child (log));
  bl_bench_layout_put (layout, BL_PLACE_LOG, log);
  bl_bench_layout_put (layout, BL_PLACE_CHART, self->chart);
  bl_bench_tree_connect (self);
  bl_bench_layout_put (layout, BL_PLACE_WHY, self->why);
  bl_bench_why_connect (self);
  bl_bench_layout_put (layout, BL_PLACE_SHOWN, self->shown);
  bl_bench_shown_connect (self);
  bl_bench_layout_put (layout, BL_PLACE_PROVING, self->proving);
  bl_bench_proving_connect (self);
  bl_bench_layout_put (layout, BL_PLACE_TOLD, bl_bench_told_build (self));
  g_signal_connect (self->focus, "entered", G_CALLBACK (bl_bench_page_value_entered), self);
  g_signal_connect (self->focus, "preview", G_CALLBACK (bl_bench_page_previewed), self);
  g_signal_connect_swapped (self->choice, "chosen", G_CALLBACK (bl_bench_choices_chosen), self);
  g_signal_connect_swapped (self->choice, "closed", G_CALLBACK (bl_bench_supply_closed), self);
  g_signal_connect_swapped (self->choice, "closed", G_CALLBACK (choice_closed), self);
  g_signal_connect_swapped (self->log, "photo", G_CALLBACK (bl_bench_page_show_photo), self);
}
