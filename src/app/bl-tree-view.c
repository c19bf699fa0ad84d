/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree, drawn.
 *
 * It shows the tree the odds were computed from, never a copy of its own: the tree of the likely
 * stage, its events with the odds of the diagnosis, what is folded with the odds that one of it happened, the
 * evidence as verdict shapes. Gates are boxes
 * with the signs of IEC 60617-12 (from memory). The likely path is thick on yellow ground; what the
 * readings cleared is pale but readable. Painted boxes are invisible to assistive technology, so the
 * whole reads as one sentence; the suspects beside it are real text. */
#include "config.h"

#include "bl-tree-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-equipment.h"
#include "bl-format.h"
#include "bl-style.h"
#include "bl-tree-layout.h"

#define HEAD 20
#define ROW 26

struct _BlTreeView
{
  GtkWidget parent_instance;

  BlBench *bench;
  BlTree *tree;
  double *odds;  /* of each node, NAN for gates */
  char *stage;   /* of the tree */
  char *effect;  /* words for the right end */
  int effect_shape;
};

G_DEFINE_FINAL_TYPE (BlTreeView, bl_tree_view, GTK_TYPE_WIDGET)

/* --- from the diagnosis --- */

/* Shape of the reading that speaks of a component, or of its part test; -1: none. */
static int
evidence_shape (BlBench *bench, const char *stage, const char *component)
{
  GListModel *model = bl_bench_get_measurements (bench);
  GPtrArray *records = bl_bench_get_records (bench);
  int shape = -1;

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (!record->struck && record->kind == BL_RECORD_PART_TEST && g_strcmp0 (record->subject, component) == 0)
        return g_strcmp0 (record->text, "good") == 0 ? BL_SHAPE_IN_BAND : BL_SHAPE_HIGH;
    }
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
      const BlVerdict *verdict = bl_measurement_item_get_verdict (item);
      if (verdict == NULL || !verdict->evidence || g_strcmp0 (measurement->reads, stage) != 0)
        continue;
      shape = bl_shape_for_verdict (verdict, bl_measurement_item_get_band (item));
      if (shape != BL_SHAPE_IN_BAND)
        return shape;
    }
  return shape;
}

static double
event_odds (const BlDiagnosis *diagnosis, const BlNode *node)
{
  const BlOdd *component = node->component != NULL ? bl_diagnosis_find (diagnosis->components, node->component) : NULL;
  const BlOdd *mode = component != NULL && node->mode != NULL && component->modes != NULL
                        ? bl_diagnosis_find (component->modes, node->mode)
                        : NULL;

  return mode != NULL ? mode->probability : component != NULL && node->mode == NULL ? component->probability : NAN;
}

static void
clear (BlTreeView *self)
{
  g_clear_pointer (&self->tree, bl_tree_free);
  g_clear_pointer (&self->odds, g_free);
  g_clear_pointer (&self->stage, g_free);
  g_clear_pointer (&self->effect, g_free);
}

static void
describe (BlTreeView *self)
{
  g_autofree char *name = NULL;

  if (self->tree == NULL)
    name = g_strdup (_ ("Fault tree: none yet"));
  else
    name = g_strdup_printf (_ ("Fault tree of %s"), self->effect);
  bl_widget_name (GTK_WIDGET (self), name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
refresh (BlTreeView *self)
{
  const BlDiagnosis *diagnosis = self->bench != NULL ? bl_bench_get_diagnosis (self->bench) : NULL;
  const guint all = (1u << BL_ABSENT) | (1u << BL_UNSTEADY) | (1u << BL_LOW) | (1u << BL_HIGH);
  const char *stage = diagnosis != NULL ? diagnosis->likely_stage : NULL;
  const BlStage *found = stage != NULL ? bl_board_stage (bl_bench_get_board (self->bench), stage) : NULL;

  clear (self);
  if (found != NULL)
    self->tree = bl_tree_from_board (bl_bench_get_board (self->bench), stage, all, NULL, NULL);
  if (self->tree != NULL)
    {
      self->stage = g_strdup (stage);
      self->effect = g_strdup (found->title != NULL ? found->title : found->id);
      self->effect_shape = evidence_shape (self->bench, stage, NULL);
      self->odds = g_new (double, self->tree->nodes->len);
      for (guint i = 0; i < self->tree->nodes->len; i++)
        self->odds[i] = event_odds (diagnosis, g_ptr_array_index (self->tree->nodes, i));
    }
  describe (self);
}

/* --- drawing --- */

static const char *
gate_sign (const BlNode *node, char buffer[16])
{
  switch (node->kind)
    {
    case BL_NODE_AND:
      return "&";
    case BL_NODE_ATLEAST:
      g_snprintf (buffer, 16, "≥%u", node->k);
      return buffer;
    case BL_NODE_XOR:
      return "=1";
    case BL_NODE_NOT:
      return "1";
    case BL_NODE_OR:
    default:
      return "≥1";
    }
}

/* The box of an equipment that a folded leaf is about, to be said before its title: the boxes may have stages of the same
 * name. Ids of gates begin with that of their stage. (transfer full) */
static char *
box_before (BlTreeView *self, const BlTreeBox *box)
{
  const BlNode *node = g_ptr_array_index (self->tree->nodes, box->node);
  const char *role = bl_bench_role_of (self->bench, node->id);

  return role != NULL ? g_strdup_printf (_ ("%s: "), role) : g_strdup ("");
}

static char *
leaf_name (BlTreeView *self, const BlTreeBox *box)
{
  const BlNode *node = g_ptr_array_index (self->tree->nodes, box->node);
  g_autofree char *before = box->folded > 1 ? box_before (self, box) : NULL;

  if (box->folded > 1 && node->component == NULL && node->title != NULL)
    return g_strdup_printf (ngettext ("%s%s (%u cause)", "%s%s (%u causes)", box->folded), before, node->title,
                            box->folded);
  if (box->folded > 1)
    return g_strdup_printf (ngettext ("%u other cause", "%u other causes", box->folded), box->folded);
  if (node->component != NULL && g_str_has_suffix (node->component, "/other"))
    {
      g_autofree char *stage = g_strndup (node->component, strlen (node->component) - strlen ("/other"));
      const BlStage *found = bl_board_stage (bl_bench_get_board (self->bench), stage);
      return g_strdup_printf (_ ("other, %s: %s"), node->mode != NULL ? bl_class_word (node->mode) : "?",
                              found != NULL && found->title != NULL ? found->title : stage);
    }
  if (node->component != NULL)
    return g_strdup_printf ("%s %s", node->component, node->mode != NULL ? node->mode : "");
  return g_strdup (node->title != NULL ? node->title : node->id);
}

static void
draw_leaf (BlTreeView *self, cairo_t *cr, const BlTreeBox *box)
{
  const BlPalette *palette = bl_style_palette ();
  const BlNode *node = g_ptr_array_index (self->tree->nodes, box->node);
  double y = box->y + box->h / 2, right = box->x + box->w;
  const BlColour *ink = box->cleared ? &palette->muted : &palette->ink;
  g_autofree char *name = leaf_name (self, box);
  double known = box->events != NULL && box->events[0] != NULL
                   ? bl_bench_union (self->bench, (const char *const *) box->events) : box->odds;
  g_autofree char *odds = bl_format_odds (known);
  const BlComponent *component
    = node->component != NULL ? bl_board_component (bl_bench_get_board (self->bench), node->component) : NULL;
  int shape = box->folded <= 1 && component != NULL
                ? evidence_shape (self->bench, component->stage, component->id)
                : -1;

  if (box->likely)
    {
      bl_set_source (cr, &palette->likely_row);
      cairo_rectangle (cr, box->x, box->y + 1, box->w, box->h - 2);
      cairo_fill (cr);
      bl_set_source (cr, &palette->likely);
      cairo_rectangle (cr, box->x, box->y + 1, 4, box->h - 2);
      cairo_fill (cr);
    }
  cairo_new_sub_path (cr);
  cairo_arc (cr, box->x + 13, y, 6.5, 0, 2 * G_PI);
  bl_set_source (cr, box->cleared ? &palette->edge : &palette->ink);
  cairo_set_line_width (cr, box->likely ? 2.5 : 1.3);
  if (box->folded > 1)
    {
      const double dashes[] = { 2, 2 };
      cairo_set_dash (cr, dashes, 2, 0);
    }
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
  bl_style_text (GTK_WIDGET (self), cr, name, 12.5, box->likely ? 700 : 400, ink, box->x + 25, y, 0, box->w - 25 - 58);
  if (shape >= 0)
    bl_shape_draw (cr, (BlShape) shape, right - 46, y, 11, palette, FALSE);
  /* A condition between causes is no cause: the diagnosis gives it no odds. Those of what is folded come a
   * moment after the others. */
  if (isnan (known))
    return;
  bl_style_text (GTK_WIDGET (self), cr, odds, 12.5, box->likely ? 700 : 400, ink, right - 4, y, 1, 0);
}

static void
draw_gate (BlTreeView *self, cairo_t *cr, const BlTreeBox *box)
{
  const BlPalette *palette = bl_style_palette ();
  const BlNode *node = g_ptr_array_index (self->tree->nodes, box->node);
  char buffer[16];

  cairo_rectangle (cr, round (box->x) + 0.5, round (box->y) + 0.5, box->w, box->h);
  bl_set_source (cr, box->likely ? &palette->likely_row : &palette->raised);
  cairo_fill_preserve (cr);
  bl_set_source (cr, box->cleared ? &palette->edge : &palette->ink);
  cairo_set_line_width (cr, box->likely ? 2.5 : 1.3);
  cairo_stroke (cr);
  bl_style_text (GTK_WIDGET (self), cr, gate_sign (node, buffer), 14, 700,
                 box->cleared ? &palette->muted : &palette->ink, box->x + box->w / 2, box->y + box->h / 2, 0.5, 0);
}

/* Right-angled, bending half way before the parent. */
static void
draw_line (cairo_t *cr, const BlTreeBox *from, double x, double y, double bend, gboolean likely, gboolean cleared)
{
  const BlPalette *palette = bl_style_palette ();
  double fx = from->x + from->w, fy = from->y + from->h / 2;

  bl_set_source (cr, cleared ? &palette->edge : &palette->ink);
  cairo_set_line_width (cr, likely ? 2.5 : 1.3);
  cairo_move_to (cr, fx, round (fy) + 0.5);
  cairo_line_to (cr, bend, round (fy) + 0.5);
  cairo_line_to (cr, bend, round (y) + 0.5);
  cairo_line_to (cr, x, round (y) + 0.5);
  cairo_stroke (cr);
}

static void
draw_lines (BlTreeView *self, cairo_t *cr, const BlTreeLayout *layout, gboolean likely)
{
  GArray *boxes = layout->boxes;

  for (guint i = 0; i < boxes->len; i++)
    {
      const BlTreeBox *box = &g_array_index (boxes, BlTreeBox, i);
      if (box->likely != likely)
        continue;
      if (box->parent < 0)
        draw_line (cr, box, layout->effect_x, box->y + box->h / 2, layout->effect_x - 8, likely, box->cleared);
      else
        {
          const BlTreeBox *parent = &g_array_index (boxes, BlTreeBox, box->parent);
          /* Children enter a gate spread over its height. */
          double offset = CLAMP ((box->y + box->h / 2 - parent->y - parent->h / 2) / 6, -11, 11);
          draw_line (cr, box, parent->x, parent->y + parent->h / 2 + offset, round (parent->x - 10) + 0.5, likely,
                     box->cleared);
        }
    }
}

static void
draw_effect (BlTreeView *self, cairo_t *cr, const BlTreeLayout *layout)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (PangoLayout) text = bl_style_layout (GTK_WIDGET (self), self->effect, 12, 700);
  double x = layout->effect_x, y = layout->effect_y, foot = self->effect_shape >= 0 ? 18 : 0;

  cairo_rectangle (cr, round (x) + 0.5, round (y) + 0.5, layout->effect_w - 1, layout->effect_h - 1);
  bl_set_source (cr, &palette->raised);
  cairo_fill_preserve (cr);
  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, 1.3);
  cairo_stroke (cr);
  pango_layout_set_width (text, (int) ((layout->effect_w - 14) * PANGO_SCALE));
  pango_layout_set_wrap (text, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_ellipsize (text, PANGO_ELLIPSIZE_END);
  pango_layout_set_height (text, foot > 0 ? -3 : -4);
  bl_style_show (cr, text, &palette->ink, x + 7, y + (layout->effect_h - foot) / 2 + 1, 0);
  if (foot > 0)
    {
      bl_shape_draw (cr, (BlShape) self->effect_shape, x + 13, y + layout->effect_h - 11, 12, palette, FALSE);
      bl_style_text (GTK_WIDGET (self), cr, bl_shape_word ((BlShape) self->effect_shape), 12, 400, &palette->muted,
                     x + 24, y + layout->effect_h - 11, 0, layout->effect_w - 28);
    }
}

static void
draw_tree (BlTreeView *self, cairo_t *cr, double width, double height)
{
  double leaf = CLAMP (width * 0.52, 140, 330), effect = CLAMP (width * 0.22, 78, 140);
  g_autoptr (BlTreeLayout) layout
    = bl_tree_layout_new (self->tree, self->odds, width, height, ROW, leaf, effect);

  draw_lines (self, cr, layout, FALSE);
  draw_lines (self, cr, layout, TRUE);
  for (guint i = 0; i < layout->boxes->len; i++)
    {
      const BlTreeBox *box = &g_array_index (layout->boxes, BlTreeBox, i);
      if (box->leaf)
        draw_leaf (self, cr, box);
      else
        draw_gate (self, cr, box);
    }
  draw_effect (self, cr, layout);
}

static void
bl_tree_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlTreeView *self = BL_TREE_VIEW (widget);
  const BlPalette *palette = bl_style_palette ();
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr;

  if (width < 60 || height < HEAD + ROW)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));
  cairo_translate (cr, 0, 2);
  if (self->tree != NULL)
    draw_tree (self, cr, width, height - 4);
  else
    bl_style_text (widget, cr, _ ("No stage stands out yet."), 12.5, 400, &palette->muted, 0, 12, 0, width);
  cairo_destroy (cr);
}

static void
bl_tree_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                      int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 100 : ROW;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 390 : 158;
}

static void
bl_tree_view_dispose (GObject *object)
{
  BlTreeView *self = BL_TREE_VIEW (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  clear (self);
  G_OBJECT_CLASS (bl_tree_view_parent_class)->dispose (object);
}

static void
bl_tree_view_class_init (BlTreeViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_tree_view_dispose;
  widget_class->snapshot = bl_tree_view_snapshot;
  widget_class->measure = bl_tree_view_measure;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
bl_tree_view_init (BlTreeView *self)
{
  self->effect_shape = -1;
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_tree_view_new (void)
{
  return g_object_new (BL_TYPE_TREE_VIEW, NULL);
}

void
bl_tree_view_set_bench (BlTreeView *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_TREE_VIEW (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench != NULL)
    {
      g_signal_connect_object (bench, "diagnosed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (bench, "unions", G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
    }
  refresh (self);
}

