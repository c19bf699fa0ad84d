/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The look in one place: style sheets, palette of the theme shown, and text drawn by hand.
 *
 * The sheets are loaded here and not by the application object, so that a test that has no
 * application sees the same pixels. Drawn text takes absolute pixels because it must meet the grid
 * of the drawings around it. */
#include "config.h"

#include "bl-style.h"

#include <math.h>

#define RESOURCE "/org/benchlore/Benchlore/"

static GtkCssProvider *theme;

static void
load_theme (void)
{
  gboolean dark = adw_style_manager_get_dark (adw_style_manager_get_default ());
  gtk_css_provider_load_from_resource (theme, dark ? RESOURCE "look-dark.css"
                                                   : RESOURCE "look-light.css");
}

void
bl_style_install (void)
{
  if (theme != NULL)
    return;
  GdkDisplay *display = gdk_display_get_default ();
  g_autoptr (GtkCssProvider) look = gtk_css_provider_new ();

  theme = gtk_css_provider_new ();
  load_theme ();
  gtk_style_context_add_provider_for_display (display, GTK_STYLE_PROVIDER (theme),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
  gtk_css_provider_load_from_resource (look, RESOURCE "look.css");
  gtk_style_context_add_provider_for_display (display, GTK_STYLE_PROVIDER (look),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION + 1);
  g_signal_connect (adw_style_manager_get_default (), "notify::dark", G_CALLBACK (load_theme), NULL);
}

void
bl_style_dress (GtkWidget *window)
{
  g_autofree char *font = NULL;

  bl_style_install ();
  g_object_get (gtk_settings_get_default (), "gtk-font-name", &font, NULL);
  gtk_widget_add_css_class (window, "bench");
  /* "Sans" is what the toolkit says when nobody has chosen a font. */
  if (font == NULL || g_str_has_prefix (font, "Sans"))
    gtk_widget_add_css_class (window, "own-font");
}

const BlPalette *
bl_style_palette (void)
{
  return bl_palette_get (adw_style_manager_get_dark (adw_style_manager_get_default ()));
}

void
bl_style_watch (GtkWidget *widget)
{
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), widget, G_CONNECT_SWAPPED);
}

PangoLayout *
bl_style_layout (GtkWidget *widget, const char *text, double px, int weight)
{
  PangoLayout *layout = gtk_widget_create_pango_layout (widget, text);
  g_autoptr (PangoAttrList) attributes = pango_attr_list_new ();

  pango_attr_list_insert (attributes, pango_attr_size_new_absolute ((int) round (px * PANGO_SCALE)));
  pango_attr_list_insert (attributes, pango_attr_weight_new ((PangoWeight) weight));
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  pango_layout_set_attributes (layout, attributes);
  return layout;
}

void
bl_style_show (cairo_t *cr, PangoLayout *layout, const BlColour *colour, double x, double y,
               double align)
{
  int width, height;

  pango_layout_get_pixel_size (layout, &width, &height);
  bl_set_source (cr, colour);
  cairo_move_to (cr, round (x - align * width), round (y - height / 2.0));
  pango_cairo_show_layout (cr, layout);
}

double
bl_style_text (GtkWidget *widget, cairo_t *cr, const char *text, double px, int weight,
               const BlColour *colour, double x, double y, double align, double width)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (widget, text, px, weight);
  int drawn;

  pango_layout_get_pixel_size (layout, &drawn, NULL);
  if (width > 0 && drawn > width)
    {
      pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
      pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
      pango_layout_get_pixel_size (layout, &drawn, NULL);
    }
  bl_style_show (cr, layout, colour, x, y, align);
  return drawn;
}

GtkWidget *
bl_label (const char *text, const char *classes, float xalign)
{
  GtkWidget *label = gtk_label_new (text);
  g_auto (GStrv) names = g_strsplit (classes != NULL ? classes : "", " ", -1);

  gtk_label_set_xalign (GTK_LABEL (label), xalign);
  for (guint i = 0; names[i] != NULL; i++)
    if (*names[i] != '\0')
      gtk_widget_add_css_class (label, names[i]);
  return label;
}

GtkWidget *
bl_key_cap (const char *key)
{
  GtkWidget *cap = bl_label (key, "cap", 0.5);
  gtk_widget_set_valign (cap, GTK_ALIGN_CENTER);
  return cap;
}

GtkWidget *
bl_act_button (const char *css, const char *words, const char *cap, gboolean cap_first)
{
  GtkWidget *button = gtk_button_new (), *label = bl_label (words, NULL, 0);

  if (cap != NULL)
    {
      GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *key = bl_key_cap (cap);
      gtk_box_append (GTK_BOX (box), cap_first ? key : label);
      gtk_box_append (GTK_BOX (box), cap_first ? label : key);
      gtk_button_set_child (GTK_BUTTON (button), box);
    }
  else
    gtk_button_set_child (GTK_BUTTON (button), label);
  gtk_widget_add_css_class (button, css);
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, words);
  return button;
}

typedef struct
{
  BlPressed pressed;
  gpointer data;
  char *what;
} Press;

static void
press_free (gpointer data, GClosure *closure)
{
  Press *press = data;

  g_free (press->what);
  g_free (press);
}

static void
button_pressed (GtkButton *button, gpointer data)
{
  const Press *press = data;
  g_autofree char *what = g_strdup (press->what);

  press->pressed (what, press->data);
}

void
bl_button_tells (GtkWidget *button, char *what, BlPressed pressed, gpointer data)
{
  Press *press = g_new0 (Press, 1);

  *press = (Press){ pressed, data, what };
  g_signal_connect_data (button, "clicked", G_CALLBACK (button_pressed), press, press_free, 0);
}

void
bl_widget_clear (GtkWidget *container)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (container)) != NULL)
    {
      if (GTK_IS_LIST_BOX (container))
        gtk_list_box_remove (GTK_LIST_BOX (container), child);
      else if (GTK_IS_BOX (container))
        gtk_box_remove (GTK_BOX (container), child);
      else /* of our own, which lay out whatever children they have */
        gtk_widget_unparent (child);
    }
}

int
bl_widget_whole_rows (GtkWidget *box, int width, int height)
{
  int spacing = gtk_box_get_spacing (GTK_BOX (box)), y = 0, whole = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (box); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      int natural;
      if (!gtk_widget_should_layout (child))
        continue;
      gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL, width, NULL, &natural, NULL, NULL);
      if (y + natural > height)
        return whole > 0 ? whole : height;
      whole = y + natural;
      y += natural + spacing;
    }
  return height;
}

const char *
bl_shape_css (BlShape shape)
{
  static const char *const classes[BL_N_SHAPES] = {
    [BL_SHAPE_IN_BAND] = "v-in-band",     [BL_SHAPE_LOW] = "v-low",
    [BL_SHAPE_HIGH] = "v-high",           [BL_SHAPE_ABSENT] = "v-absent",
    [BL_SHAPE_UNSTEADY] = "v-unsteady",   [BL_SHAPE_SHORTED] = "v-shorted",
    [BL_SHAPE_OPEN] = "v-shorted",        [BL_SHAPE_TOO_CLOSE] = "v-too-close",
    [BL_SHAPE_NOT_REACHED] = "v-not-reached",
  };

  g_return_val_if_fail ((guint) shape < BL_N_SHAPES, "");
  return classes[shape];
}

void
bl_widget_name (GtkWidget *widget, const char *name)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
}

static gboolean
tip_asked (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  gtk_tooltip_set_text (tooltip, g_object_get_data (G_OBJECT (widget), "tip"));
  return TRUE;
}

void
bl_widget_tip (GtkWidget *widget, const char *words)
{
  gboolean any = words != NULL && *words != '\0';

  if (g_signal_handler_find (widget, G_SIGNAL_MATCH_FUNC, 0, 0, NULL, (gpointer) tip_asked, NULL) == 0)
    g_signal_connect (widget, "query-tooltip", G_CALLBACK (tip_asked), NULL);
  g_object_set_data_full (G_OBJECT (widget), "tip", g_strdup (words), g_free);
  gtk_widget_set_has_tooltip (widget, any);
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, any ? words : "", -1);
}

gboolean
bl_widget_is_text (GtkWidget *widget)
{
  return GTK_IS_TEXT (widget) || GTK_IS_TEXT_VIEW (widget);
}

static gboolean
begin_search (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
              GtkEditable *search)
{
  GtkWidget *page = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));
  GtkRoot *root = gtk_widget_get_root (page);
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  gunichar letter = gdk_keyval_to_unicode (keyval);
  char text[8] = "";

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK) || !g_unichar_isalnum (letter)
      || (focus != NULL && (GTK_IS_EDITABLE (focus) || bl_widget_is_text (focus))) || !gtk_widget_get_mapped (GTK_WIDGET (search)))
    return GDK_EVENT_PROPAGATE;
  g_unichar_to_utf8 (letter, text);
  gtk_widget_grab_focus (GTK_WIDGET (search));
  gtk_editable_set_text (search, text);
  gtk_editable_set_position (search, -1);
  return GDK_EVENT_STOP;
}

void
bl_type_to_find (GtkWidget *page, GtkEditable *search)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_signal_connect_object (keys, "key-pressed", G_CALLBACK (begin_search), search, 0);
  gtk_widget_add_controller (page, keys);
}
