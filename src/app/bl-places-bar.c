/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The places of an equipment in one line: boards in the document's order, what joins them between the first two, as
 * they hang on the wall. The likeliest has the ground of the likely failed stage, and says so in words; below 95 % the
 * sentence beside says that nothing is isolated yet. Some four tiles; they stay while the job does, so that new odds take
 * none away from under the pointer. */
#include "config.h"

#include "bl-places-bar.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-practice.h"
#include "bl-format.h"
#include "bl-style.h"

struct _BlPlacesBar
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *box, *tiles, *words, *acts, *board, *board_label, *direction; /* acts has the last three */
  GPtrArray *all; /* Tile */
};

typedef struct
{
  GtkWidget *widget, *name, *odds;
  char *place; /* its id; NULL: on none of them */
} Tile;

enum
{
  PLACE,
  BOARD,
  DIRECTION,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlPlacesBar, bl_places_bar, GTK_TYPE_WIDGET)

/* --- tiles --- */

static void
tile_free (gpointer data)
{
  Tile *tile = data;

  g_free (tile->place);
  g_free (tile);
}

static void
tile_pressed (GtkButton *button, BlPlacesBar *self)
{
  g_autofree char *role = g_strdup (g_object_get_data (G_OBJECT (button), "role"));

  g_signal_emit (self, signals[PLACE], 0, role);
}

/* place: its id among the places; NULL: none of them. */
static void
add_tile (BlPlacesBar *self, const char *name, const char *place, const char *role, gboolean pressable)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *widget = pressable ? gtk_button_new () : box;
  Tile *tile = g_new0 (Tile, 1);

  tile->widget = widget;
  tile->name = bl_label (name, NULL, 0);
  tile->odds = bl_label ("", "row-odds", 1);
  tile->place = g_strdup (place);
  gtk_label_set_width_chars (GTK_LABEL (tile->odds), 4);
  gtk_box_append (GTK_BOX (box), tile->name);
  gtk_box_append (GTK_BOX (box), tile->odds);
  if (pressable)
    {
      gtk_button_set_child (GTK_BUTTON (widget), box);
      gtk_widget_set_focus_on_click (widget, FALSE);
      g_object_set_data_full (G_OBJECT (widget), "role", g_strdup (role), g_free);
      g_signal_connect (widget, "clicked", G_CALLBACK (tile_pressed), self);
    }
  gtk_widget_add_css_class (widget, "place-tile");
  gtk_widget_set_valign (widget, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (self->tiles), widget);
  g_ptr_array_add (self->all, tile);
}

static void
set_class (GtkWidget *widget, const char *name, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (widget, name);
  else
    gtk_widget_remove_css_class (widget, name);
}

static void
update_tile (Tile *tile, double odds, gboolean likely)
{
  const char *name = gtk_label_get_label (GTK_LABEL (tile->name));
  g_autofree char *percent = isnan (odds) ? g_strdup ("–") : bl_format_odds (odds);
  g_autofree char *said = likely ? g_strdup_printf (_ ("%s %s, the likeliest place"), name, percent)
                                 : g_strdup_printf ("%s %s", name, percent);

  gtk_label_set_label (GTK_LABEL (tile->odds), percent);
  set_class (tile->name, "strong", likely);
  set_class (tile->odds, "odds", likely);
  set_class (tile->widget, "likely", likely);
  bl_widget_name (tile->widget, said);
}

/* What stands for the cable between two boxes. */
static void
add_line (BlPlacesBar *self)
{
  GtkWidget *line = gtk_separator_new (GTK_ORIENTATION_HORIZONTAL);

  gtk_widget_set_size_request (line, 16, 2);
  gtk_widget_set_valign (line, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (line, "place-line");
  gtk_box_append (GTK_BOX (self->tiles), line);
}

static GtkWidget *
gap_new (void)
{
  GtkWidget *gap = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_set_size_request (gap, 12, -1);
  return gap;
}

static double
odds_of (const BlPlaces *places, const char *id)
{
  const BlFaultPlace *place = places != NULL ? bl_places_find (places, id) : NULL;

  return place != NULL ? place->probability : NAN;
}

/* The conductors and cables by name, the likeliest first. */
static char *
parts_words (const BlPlaces *places)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; places != NULL && i < bl_len (places->parts); i++)
    {
      const BlFaultPlace *part = bl_at (places->parts, i);
      g_autofree char *name = bl_place_words (part), *odds = bl_format_odds (part->probability);
      g_string_append_printf (text, "%s%s %s", i > 0 ? "\n" : "", name, odds);
    }
  return text->len > 0 ? g_string_free (g_steal_pointer (&text), FALSE) : NULL;
}

/* The tiles of the job's equipment, once. */
static void
build_tiles (BlPlacesBar *self)
{
  GPtrArray *boxes = bl_bench_get_boxes (self->bench);
  gboolean parts = bl_len (bl_bench_get_equipment (self->bench)->conductors) > 0;

  for (guint i = 0; i < bl_len (boxes); i++)
    {
      const char *role = ((BlEquipmentBoard *) bl_at (boxes, i))->role;
      g_autofree char *name = g_strdup_printf (_ ("%s board"), role);
      if (i > 0)
        add_line (self);
      add_tile (self, name, role, role, TRUE);
      if (i > 0 || !parts)
        continue;
      add_line (self);
      add_tile (self, _ ("conductors"), BL_SHARE_OF_PARTS, NULL, TRUE);
    }
  gtk_box_append (GTK_BOX (self->tiles), gap_new ());
  add_tile (self, _ ("elsewhere"), NULL, NULL, FALSE);
}

static void
fill_tiles (BlPlacesBar *self)
{
  const BlPlaces *places = bl_bench_get_places (self->bench);
  const BlFaultPlace *likely = bl_bench_likely_place (self->bench);
  g_autofree char *names = parts_words (places);

  if (self->all->len == 0)
    build_tiles (self);
  for (guint i = 0; i < self->all->len; i++)
    {
      Tile *tile = bl_at (self->all, i);
      gtk_widget_set_visible (tile->odds, !bl_bench_is_blind (self->bench));
      if (tile->place == NULL)
        {
          update_tile (tile, places != NULL ? places->none : NAN, places != NULL && places->verdict == BL_PLACES_NONE);
          gtk_widget_set_tooltip_text (tile->widget, _ ("Nothing on these boards and conductors: the installation, what "
                                                        "hangs on it, or how it is used"));
          continue;
        }
      update_tile (tile, odds_of (places, tile->place), likely != NULL && g_str_equal (likely->id, tile->place));
      gtk_widget_set_tooltip_text (tile->widget, g_str_equal (tile->place, BL_SHARE_OF_PARTS)
                                                   ? names : _ ("Press to go to its measurements"));
    }
}

static void
clear_tiles (BlPlacesBar *self)
{
  g_ptr_array_set_size (self->all, 0);
  bl_widget_clear (self->tiles);
}

/* --- words and buttons --- */

static char *
sentence (BlBench *bench)
{
  const BlPlaces *places = bl_bench_get_places (bench);

  if (bl_bench_is_blind (bench))
    return g_strdup ("");
  if (bl_bench_get_trouble (bench) != NULL || places == NULL)
    return g_strdup (bl_bench_is_busy (bench) ? _ ("working out the odds") : "");
  if (!bl_bench_has_evidence (bench))
    return g_strdup (_ ("Nothing was read: odds of the documents alone"));
  return bl_places_words (places);
}

static void
label_board (BlPlacesBar *self)
{
  const char *role = bl_bench_isolated_role (self->bench);
  gint64 begun = role != NULL ? bl_bench_part_job (self->bench, role, NULL) : 0;
  g_autofree char *words = role == NULL  ? g_strdup (_ ("a board as a job of its own …"))
                           : begun != 0  ? g_strdup_printf (_ ("to the job on the %s board"), role)
                                         : g_strdup_printf (_ ("open the %s board with what is known"), role);

  gtk_label_set_label (GTK_LABEL (self->board_label), words);
  bl_widget_name (self->board, words);
  if (role != NULL)
    gtk_widget_add_css_class (self->board, "suggested");
  else
    gtk_widget_remove_css_class (self->board, "suggested");
}

/* What is isolated is said in ink, what is not yet is quiet. */
static void
say_strongly (BlPlacesBar *self, gboolean strongly)
{
  gtk_widget_remove_css_class (self->words, strongly ? "muted" : "strong");
  gtk_widget_add_css_class (self->words, strongly ? "strong" : "muted");
}

static void
show_equipment (BlPlacesBar *self)
{
  const BlPlaces *places = bl_bench_get_places (self->bench);
  g_autofree char *words = sentence (self->bench);
  /* 36, 37 and 32 % are no mistake: without a word they look like one. */
  g_autofree char *tooltip
    = g_strdup_printf ("%s\n%s", words, _ ("Each has odds of its own: more than one may have failed, so they may add up to "
                                           "more than 100 %."));

  fill_tiles (self);
  say_strongly (self, places != NULL && places->verdict != BL_PLACES_OPEN);
  gtk_label_set_label (GTK_LABEL (self->words), words);
  gtk_widget_set_tooltip_text (self->words, tooltip);
  label_board (self);
}

/* A job on one of the boards says where it came from. */
static void
show_part (BlPlacesBar *self)
{
  const BlJob *whole = bl_bench_get_whole_job (self->bench);
  g_autofree char *words = NULL;

  if (whole == NULL)
    return;
  say_strongly (self, FALSE);
  words = g_strdup_printf (_ ("Begun from job %d on %s"), whole->number, whole->board_name != NULL ? whole->board_name : "");
  gtk_label_set_label (GTK_LABEL (self->words), words);
  gtk_widget_set_tooltip_text (self->words, words);
  gtk_label_set_label (GTK_LABEL (self->board_label), _ ("back to the equipment"));
  bl_widget_name (self->board, _ ("back to the equipment"));
  gtk_widget_remove_css_class (self->board, "suggested");
}

static void
refresh (BlPlacesBar *self)
{
  gboolean equipment = self->bench != NULL && bl_bench_get_equipment (self->bench) != NULL;
  gboolean part = self->bench != NULL && bl_bench_get_whole_job (self->bench) != NULL;

  gtk_widget_set_visible (GTK_WIDGET (self), equipment || part);
  if (equipment)
    show_equipment (self);
  else if (part)
    show_part (self);
  gtk_widget_set_visible (self->direction,
                          gtk_widget_get_visible (self->direction) && equipment
                            && bl_bench_can_change_equipment (self->bench));
  set_class (self->direction, "suggested", equipment && bl_bench_direction_denied (self->bench) != NULL);
}

/* --- object --- */

static void
pressed (GtkButton *button, BlPlacesBar *self)
{
  g_signal_emit (self, signals[GTK_WIDGET (button) == self->board ? BOARD : DIRECTION], 0);
}

static void
bl_places_bar_dispose (GObject *object)
{
  BlPlacesBar *self = BL_PLACES_BAR (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_places_bar_parent_class)->dispose (object);
}

static void
bl_places_bar_finalize (GObject *object)
{
  g_ptr_array_unref (BL_PLACES_BAR (object)->all);
  G_OBJECT_CLASS (bl_places_bar_parent_class)->finalize (object);
}

static void
bl_places_bar_class_init (BlPlacesBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_places_bar_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_places_bar_finalize;
  signals[PLACE] = g_signal_new ("place", BL_TYPE_PLACES_BAR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                 G_TYPE_STRING);
  signals[BOARD] = g_signal_new ("board", BL_TYPE_PLACES_BAR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[DIRECTION] = g_signal_new ("direction", BL_TYPE_PLACES_BAR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                     G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_places_bar_init (BlPlacesBar *self)
{
  GtkWidget *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->all = g_ptr_array_new_with_free_func (tile_free);
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_widget_add_css_class (self->box, "places-bar");
  self->tiles = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  self->words = bl_label ("", "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->words), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->words, TRUE);
  self->direction = bl_act_button ("act", _ ("which box feeds which?"), _ ("Alt W"), FALSE);
  gtk_widget_set_visible (self->direction, FALSE);
  self->board = gtk_button_new ();
  self->board_label = bl_label ("", NULL, 0);
  gtk_box_append (GTK_BOX (inner), self->board_label);
  gtk_box_append (GTK_BOX (inner), bl_key_cap (_ ("Alt B")));
  gtk_button_set_child (GTK_BUTTON (self->board), inner);
  gtk_widget_add_css_class (self->board, "act");
  gtk_widget_set_focus_on_click (self->board, FALSE);
  g_signal_connect (self->board, "clicked", G_CALLBACK (pressed), self);
  g_signal_connect (self->direction, "clicked", G_CALLBACK (pressed), self);
  gtk_box_append (GTK_BOX (self->box), self->tiles);
  gtk_box_append (GTK_BOX (self->box), self->words);
  self->acts = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  gtk_box_append (GTK_BOX (self->acts), self->direction);
  gtk_box_append (GTK_BOX (self->acts), self->board);
  gtk_box_append (GTK_BOX (self->box), self->acts);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  bl_widget_name (GTK_WIDGET (self), _ ("Places of the fault"));
}

GtkWidget *
bl_places_bar_new (void)
{
  return g_object_new (BL_TYPE_PLACES_BAR, NULL);
}

void
bl_places_bar_leave_jobs (BlPlacesBar *self)
{
  g_return_if_fail (BL_IS_PLACES_BAR (self));
  gtk_widget_set_visible (self->acts, FALSE);
}

void
bl_places_bar_set_bench (BlPlacesBar *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_PLACES_BAR (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  clear_tiles (self);
  gtk_widget_set_visible (self->direction, FALSE);
  if (bench != NULL)
    {
      g_signal_connect_object (bench, "diagnosed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (bench, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
    }
  refresh (self);
}

void
bl_places_bar_set_direction (BlPlacesBar *self, gboolean changeable)
{
  g_return_if_fail (BL_IS_PLACES_BAR (self));
  gtk_widget_set_visible (self->direction, changeable);
}
