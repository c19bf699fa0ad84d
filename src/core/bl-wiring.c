/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an equipment to what can be drawn of it: boxes, conductors, cables; terminals and field checks are
 * bl-wiring-checks.c's.
 *
 * It reads the joined board, in which a conductor is a stage and a component at once and ports are gone; what only the
 * equipment's own document says (cables, ends nobody reads) is taken from there. What cannot be told is put beside its
 * box, never left out. Some boxes, ten conductors, thirty checks. Words are those of the documents. */
#include "config.h"

#include "bl-wiring-private.h"

#include <string.h>

static void
box_free (BlWireBox *box)
{
  g_free (box->role);
  g_free (box);
}

static void
terminal_free (BlWireTerminal *terminal)
{
  g_free (terminal->id);
  g_free (terminal->name);
  g_free (terminal->title);
  g_free (terminal);
}

static void
conductor_free (BlWireConductor *conductor)
{
  g_free (conductor->id);
  g_free (conductor->title);
  g_free (conductor);
}

static void
cable_free (BlWireCable *cable)
{
  g_free (cable->id);
  g_free (cable->title);
  g_free (cable);
}

static void
check_free (BlWireCheck *check)
{
  g_free (check->id);
  g_free (check->title);
  g_free (check);
}

void
bl_wiring_free (BlWiring *self)
{
  if (self == NULL)
    return;
  g_free (self->title);
  g_ptr_array_unref (self->boxes);
  g_ptr_array_unref (self->terminals);
  g_ptr_array_unref (self->conductors);
  g_ptr_array_unref (self->cables);
  g_ptr_array_unref (self->checks);
  g_free (self);
}

/* --- boxes, conductors, cables --- */

static int
find_box (const BlWiring *wiring, const char *role, gsize length)
{
  for (guint i = 0; i < wiring->boxes->len; i++)
    {
      const char *other = ((const BlWireBox *) bl_at (wiring->boxes, i))->role;
      if (strlen (other) == length && strncmp (other, role, length) == 0)
        return (int) i;
    }
  return -1;
}

/* Box of an id that begins with its role; -1: of none. */
int
bl_wire_box_of (const BlWiring *wiring, const char *id)
{
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  return slash != NULL ? find_box (wiring, id, (gsize) (slash - id)) : -1;
}

static void
add_box (BlWiring *wiring, const char *role, gsize length)
{
  if (length == 0 || find_box (wiring, role, length) >= 0)
    return;
  BlWireBox *box = g_new0 (BlWireBox, 1);
  box->role = g_strndup (role, length);
  g_ptr_array_add (wiring->boxes, box);
}

static void
add_boxes (BlWireScan *scan)
{
  for (guint i = 0; scan->equipment != NULL && i < bl_len (scan->equipment->members); i++)
    {
      const BlMember *member = bl_at (scan->equipment->members, i);
      if (member->role != NULL)
        add_box (scan->wiring, member->role, strlen (member->role));
    }
  for (guint i = 0; i < bl_len (scan->board->sections); i++)
    {
      const char *id = ((const BlSection *) bl_at (scan->board->sections, i))->id;
      const char *slash = id != NULL ? strchr (id, '/') : NULL;
      if (slash != NULL)
        add_box (scan->wiring, id, (gsize) (slash - id));
    }
}

gboolean
bl_wire_is_fed_by (const BlStage *stage, const char *conductor)
{
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    if (g_strcmp0 (((const BlFeed *) bl_at (stage->feeds, i))->from, conductor) == 0)
      return TRUE;
  return FALSE;
}

gboolean
bl_wire_is_of_kind (const BlBoard *board, const BlStage *stage, const char *kind)
{
  const BlSection *section = stage->section != NULL ? bl_board_section (board, stage->section) : NULL;

  return section != NULL && g_strcmp0 (section->kind, kind) == 0;
}

const char *
bl_wire_source_of (const BlBoard *board, const char *conductor)
{
  const BlStage *stage = bl_board_stage (board, conductor);

  return stage != NULL && bl_len (stage->feeds) > 0 ? ((const BlFeed *) bl_at (stage->feeds, 0))->from : NULL;
}

static void
add_conductor (BlWireScan *scan, const BlComponent *component)
{
  BlWireConductor *conductor = g_new0 (BlWireConductor, 1);
  const char *from = bl_wire_source_of (scan->board, component->id);

  conductor->id = g_strdup (component->id);
  conductor->title = g_strdup (component->title != NULL ? component->title : component->id);
  conductor->cable = conductor->terminal[0] = conductor->terminal[1] = conductor->box[1] = -1;
  /* One that goes on from another conductor comes from that one's box; loops of feeds do not exist here. */
  for (guint n = 0; n < bl_len (scan->board->stages) && from != NULL && strchr (from, '/') == NULL; n++)
    from = bl_wire_source_of (scan->board, from);
  conductor->box[0] = bl_wire_box_of (scan->wiring, from);
  for (guint i = 0; i < bl_len (scan->board->stages); i++)
    {
      const BlStage *stage = bl_at (scan->board->stages, i);
      if (!bl_wire_is_fed_by (stage, conductor->id))
        continue;
      if (conductor->box[1] < 0)
        conductor->box[1] = bl_wire_box_of (scan->wiring, stage->id);
      conductor->supplies |= bl_wire_is_of_kind (scan->board, stage, "supply");
    }
  g_ptr_array_add (scan->wiring->conductors, conductor);
}

/* Ports that feed no stage are in the equipment's document alone. A conductor whose ends nobody said, such as the
 * protective earth, goes from one box to the other where there are two. */
static void
mend_ends (BlWireScan *scan)
{
  for (guint i = 0; scan->equipment != NULL && i < bl_len (scan->equipment->conductors); i++)
    {
      const BlPart *part = bl_at (scan->equipment->conductors, i);
      for (guint j = 0; j < scan->wiring->conductors->len; j++)
        {
          BlWireConductor *conductor = bl_at (scan->wiring->conductors, j);
          if (g_strcmp0 (conductor->id, part->id) != 0)
            continue;
          if (conductor->box[0] < 0)
            conductor->box[0] = bl_wire_box_of (scan->wiring, part->from);
          if (conductor->box[1] < 0)
            conductor->box[1] = bl_wire_box_of (scan->wiring, part->to);
        }
    }
  for (guint i = 0; i < scan->wiring->conductors->len && scan->wiring->boxes->len == 2; i++)
    {
      BlWireConductor *conductor = bl_at (scan->wiring->conductors, i);
      if (conductor->box[0] < 0 && conductor->box[1] < 0)
        conductor->box[0] = 0;
      for (int end = 0; end < 2; end++)
        if (conductor->box[end] < 0)
          conductor->box[end] = 1 - conductor->box[1 - end];
    }
}

gboolean
bl_wire_acts_on (const BlComponent *component, const char *id)
{
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *mode = bl_at (component->modes, i);
      for (guint j = 0; j < bl_len (mode->effects); j++)
        if (g_strcmp0 (((const BlEffect *) bl_at (mode->effects, j))->on, id) == 0)
          return TRUE;
    }
  return FALSE;
}

static gboolean
holds (const BlEquipment *equipment, const BlComponent *cable, const char *conductor)
{
  for (guint i = 0; equipment != NULL && i < bl_len (equipment->cables); i++)
    {
      const BlPart *part = bl_at (equipment->cables, i);
      if (g_strcmp0 (part->id, cable->id) == 0)
        return part->conductors != NULL && g_strv_contains ((const char *const *) part->conductors, conductor);
    }
  return bl_wire_acts_on (cable, conductor);
}

static void
add_cable (BlWireScan *scan, const BlComponent *component)
{
  BlWireCable *cable = g_new0 (BlWireCable, 1);

  cable->id = g_strdup (component->id);
  cable->title = g_strdup (component->title != NULL ? component->title : component->id);
  for (guint i = 0; i < scan->wiring->conductors->len; i++)
    {
      BlWireConductor *conductor = bl_at (scan->wiring->conductors, i);
      if (conductor->cable < 0 && holds (scan->equipment, component, conductor->id))
        conductor->cable = (int) scan->wiring->cables->len;
    }
  g_ptr_array_add (scan->wiring->cables, cable);
}

static int
compare_cables (gconstpointer a, gconstpointer b)
{
  const BlWireConductor *one = *(BlWireConductor *const *) a, *other = *(BlWireConductor *const *) b;
  guint first = (guint) one->cable, second = (guint) other->cable; /* those in none come last */

  return (first > second) - (first < second);
}

/* A stable sort: g_ptr_array_sort () is none for equal elements on every version. */
static void
gather_cables (GPtrArray *conductors)
{
  for (guint i = 1; i < conductors->len; i++)
    for (guint j = i; j > 0 && compare_cables (&conductors->pdata[j - 1], &conductors->pdata[j]) > 0; j--)
      {
        gpointer moved = conductors->pdata[j];
        conductors->pdata[j] = conductors->pdata[j - 1];
        conductors->pdata[j - 1] = moved;
      }
}

/* A conductor is a stage and a component of the same id; a cable is a component without a stage. */
static void
add_parts (BlWireScan *scan)
{
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      if (strchr (component->id, '/') == NULL && g_strcmp0 (component->stage, component->id) == 0)
        add_conductor (scan, component);
    }
  mend_ends (scan);
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      if (strchr (component->id, '/') == NULL && component->stage == NULL)
        add_cable (scan, component);
    }
  gather_cables (scan->wiring->conductors);
}

BlWiring *
bl_wiring_new (const BlBoard *joined, const BlEquipment *equipment)
{
  g_return_val_if_fail (joined != NULL, NULL);
  BlWiring *self = g_new0 (BlWiring, 1);
  BlWireScan scan = { self, joined, equipment };

  self->title = g_strdup (equipment != NULL ? equipment->title : NULL);
  self->boxes = g_ptr_array_new_with_free_func ((GDestroyNotify) box_free);
  self->terminals = g_ptr_array_new_with_free_func ((GDestroyNotify) terminal_free);
  self->conductors = g_ptr_array_new_with_free_func ((GDestroyNotify) conductor_free);
  self->cables = g_ptr_array_new_with_free_func ((GDestroyNotify) cable_free);
  self->checks = g_ptr_array_new_with_free_func ((GDestroyNotify) check_free);
  add_boxes (&scan);
  add_parts (&scan);
  bl_wire_scan_checks (&scan);
  return self;
}

gboolean
bl_wiring_place (const BlWiring *self, const char *id, BlWirePlace *place, guint *index)
{
  g_return_val_if_fail (self != NULL, FALSE);
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  for (guint i = 0; id != NULL && i < self->conductors->len; i++)
    {
      const char *other = ((const BlWireConductor *) bl_at (self->conductors, i))->id;
      gboolean implied = slash != NULL && strncmp (other, id, (gsize) (slash - id)) == 0
                         && other[slash - id] == '\0' && g_str_equal (slash, "/other");
      if (!g_str_equal (other, id) && !implied)
        continue;
      *place = BL_WIRE_CONDUCTOR;
      *index = i;
      return TRUE;
    }
  for (guint i = 0; id != NULL && i < self->cables->len; i++)
    if (g_str_equal (((const BlWireCable *) bl_at (self->cables, i))->id, id))
      {
        *place = BL_WIRE_CABLE;
        *index = i;
        return TRUE;
      }
  int box = id == NULL ? -1 : slash != NULL ? bl_wire_box_of (self, id) : find_box (self, id, strlen (id));
  *place = BL_WIRE_BOX;
  *index = (guint) MAX (box, 0);
  return box >= 0;
}
