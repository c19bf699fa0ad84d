/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an edition still lacks, as a list. Each check (bl-edition-checks.c) adds a thing for each element that fails;
 * the things are ordered by the share of the board's faults, by weight, that they stand between, times a factor of
 * their kind (own choice, in the table): a stage without a measurement hides all its faults, a band without a source
 * none. Some dozen things; what measurements tell apart is computed elsewhere and given.
 */
#include "config.h"

#include "bl-edition-checklist-private.h"

#include "bl-library-equipment.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* factor: how much of the faults concerned the thing costs; those above 1 come before all others, in this order. */
static const struct
{
  const char *name; /* in the key, never translated */
  double factor;
  const char *words; /* after the element's name; NULL: a whole sentence of its own */
  const char *why;
} kinds[BL_N_THINGS] = {
  [BL_THING_PHOTO] = { "photo", 90, N_ ("There is no photo"), N_ ("Without a photo nobody finds the points.") },
  [BL_THING_LIVE_STATE]
  = { "live-state", 80, N_ ("There is no powered board state"),
      N_ ("A reading means something only with the state it is taken in, and says which hazard is there.") },
  [BL_THING_STAGES] = { "stages", 70, N_ ("There is no stage"),
                        N_ ("Readings are judged, but no stage is found to have failed.") },
  [BL_THING_MEASUREMENTS]
  = { "measurements", 60, N_ ("There is no measurement"), N_ ("Nothing can be compared.") },
  [BL_THING_COMPONENTS]
  = { "components", 50, N_ ("There is no component"), N_ ("A stage is found, but no suspect in it.") },
  [BL_THING_PROOF] = { "proof", 40, N_ ("no measurement proves it dead"),
                       N_ ("Charge stays after power is off: before touching it has to be measured.") },
  [BL_THING_DEAD_STATE] = { "dead-state", 0.3, N_ ("There is no unpowered board state"),
                            N_ ("Ohms, diodes and parts are tested without power.") },
  [BL_THING_STAGE_UNMEASURED] = { "stage-unmeasured", 1, N_ ("nothing is measured in it"),
                                  N_ ("Its faults show only where they reach another stage.") },
  [BL_THING_EXPECTED] = { "expected", 0.9, N_ ("no expected value"), N_ ("What is read there is not judged.") },
  [BL_THING_LIMITS] = { "limits", 0.5, N_ ("no limits"), N_ ("Near and far from the value cannot be told apart.") },
  [BL_THING_READS_NOTHING] = { "reads", 0.8, N_ ("belongs to no stage and no failure mode acts on it"),
                               N_ ("Its reading leads to no stage and to no component.") },
  [BL_THING_BLACK] = { "black", 0.4, N_ ("no point for the black lead"),
                       N_ ("Against another reference the same point reads something else.") },
  [BL_THING_PLACE] = { "place", 0.4, N_ ("waits for its place on the photo"), N_ ("It is not found with the probe.") },
  [BL_THING_POINT_UNUSED]
  = { "point-unused", 0.1, N_ ("nothing is measured there"), N_ ("A point is there and tells nothing yet.") },
  [BL_THING_MODES] = { "modes", 0.8, N_ ("no failure mode"), N_ ("It can never become a suspect.") },
  [BL_THING_EFFECT] = { "effect", 0.9, N_ ("no effect"), N_ ("No reading speaks for it or against it.") },
  [BL_THING_INVISIBLE] = { "invisible", 0.7, N_ ("no measurement shows it"),
                           N_ ("Good readings never clear it, bad ones never point to it.") },
  [BL_THING_GROUP] = { "group", 0.5, NULL, N_ ("They stay suspects together whatever is read.") },
  [BL_THING_WEIGHTS] = { "weights", 0.2, N_ ("All failure modes weigh the same"),
                         N_ ("What fails often should be suspected before what hardly ever fails.") },
  [BL_THING_SECTION_EMPTY]
  = { "section-empty", 0.1, N_ ("no stage in it"), N_ ("A section without a stage finds nothing.") },
  [BL_THING_SYMPTOMS] = { "symptoms", 0.15, N_ ("There is no symptom"),
                          N_ ("What the customer tells narrows the faults before the first reading.") },
  [BL_THING_INDICATIONS] = { "indications", 0.05, N_ ("No lamp says what it shows"),
                             N_ ("What the board blinks is a reading for nothing.") },
  [BL_THING_SOURCE]
  = { "source", 0.02, N_ ("nobody said where its values are from"), N_ ("The next one has to know how far to trust it.") },
  [BL_THING_STAGE_OUTLINE]
  = { "outline", 0.03, N_ ("no outline on the photo"), N_ ("The failed stage is shown on the photo by its outline.") },
  [BL_THING_SCALE] = { "scale", 0.01, N_ ("no scale"), N_ ("Distances on the photo cannot be told in mm.") },
  [BL_THING_NAME] = { "name", 0.04, NULL, N_ ("The next technician finds the board by it, and no other edition.") },
};

/* --- things --- */

static void
thing_free (gpointer data)
{
  BlThing *thing = data;

  g_free (thing->key);
  g_free (thing->words);
  g_free (thing);
}

void
bl_checklist_add (Check *check, BlThingKind kind, const char *subject, char *words, BlRef ref, double share)
{
  BlThing *thing = g_new0 (BlThing, 1);
  gboolean aside;

  thing->kind = kind;
  thing->key = g_strdup_printf ("%s\t%s", kinds[kind].name, subject);
  thing->words = words;
  thing->why = _ (kinds[kind].why);
  thing->ref = ref;
  thing->share = kinds[kind].factor > 1 ? kinds[kind].factor : kinds[kind].factor * CLAMP (share, 0, 1);
  aside = check->aside != NULL && g_hash_table_contains (check->aside, thing->key);
  check->open[kind] = check->open[kind] || !aside;
  g_ptr_array_add (aside ? check->list->aside : check->list->open, thing);
}

void
bl_checklist_add_about (Check *check, BlThingKind kind, BlRef ref, double share)
{
  g_autofree char *name = bl_ref_words (check->board, &ref), *key = bl_ref_key (&ref);

  bl_checklist_add (check, kind, key, g_strdup_printf ("%s: %s", name, _ (kinds[kind].words)), ref, share);
}

void
bl_checklist_add_whole (Check *check, BlThingKind kind, BlElement element)
{
  bl_checklist_add (check, kind, "", g_strdup (_ (kinds[kind].words)), bl_ref (element, NULL), 1);
}

/* --- the list --- */

static int
by_share (gconstpointer a, gconstpointer b)
{
  const BlThing *one = *(BlThing *const *) a, *two = *(BlThing *const *) b;

  if (one->share != two->share)
    return one->share > two->share ? -1 : 1;
  if (one->kind != two->kind)
    return one->kind < two->kind ? -1 : 1;
  return strcmp (one->key, two->key);
}

gboolean
bl_checklist_needs_coverage (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, FALSE);
  return bl_len (board->stages) > 0 && bl_len (board->components) > 0;
}

BlChecklist *
bl_checklist_new (const BlBoard *board, const BlCoverage *coverage, const BlChecklistBeside *beside)
{
  g_return_val_if_fail (board != NULL, NULL);
  Check check = { .board = board, .coverage = coverage };
  g_autoptr (GHashTable) weights = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, g_free);
  BlChecklist *self = g_new0 (BlChecklist, 1);

  self->open = g_ptr_array_new_with_free_func (thing_free);
  self->aside = g_ptr_array_new_with_free_func (thing_free);
  check.list = self;
  check.weights = weights;
  if (beside != NULL)
    {
      check.aside = beside->aside;
      check.outside = beside->outside;
    }
  bl_checklist_run (&check);
  g_ptr_array_sort (self->open, by_share);
  g_ptr_array_sort (self->aside, by_share);
  self->usable = TRUE;
  for (guint kind = 0; kind < BL_N_THINGS; kind++)
    {
      self->n_checks += check.concerned[kind];
      self->n_done += check.concerned[kind] && !check.open[kind];
      if (kind <= BL_THING_PROOF && check.open[kind])
        self->usable = FALSE;
    }
  return self;
}

void
bl_checklist_free (BlChecklist *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->open);
  g_ptr_array_unref (self->aside);
  g_free (self);
}

const BlThing *
bl_checklist_next (const BlChecklist *self, const char *key)
{
  g_return_val_if_fail (self != NULL, NULL);

  for (guint i = 0; key != NULL && i < self->open->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->open, i))->key, key))
      return bl_at (self->open, (i + 1) % self->open->len);
  return self->open->len > 0 ? bl_at (self->open, 0) : NULL;
}

const BlThing *
bl_checklist_find (const BlChecklist *self, const char *key)
{
  g_return_val_if_fail (self != NULL, NULL);

  for (guint i = 0; key != NULL && i < self->open->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->open, i))->key, key))
      return bl_at (self->open, i);
  for (guint i = 0; key != NULL && i < self->aside->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->aside, i))->key, key))
      return bl_at (self->aside, i);
  return NULL;
}

char *
bl_checklist_progress (const BlChecklist *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  /* Translators: checks that are done, checks in all, what that means */
  return g_strdup_printf (_ ("%u of %u · %s"), self->n_done, self->n_checks,
                          self->usable ? _ ("usable for diagnosis") : _ ("not usable for diagnosis yet"));
}

char *
bl_checklist_summary (const BlChecklist *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  g_autofree char *progress = bl_checklist_progress (self);

  return self->open->len == 0
           ? g_steal_pointer (&progress)
           : g_strdup_printf (ngettext ("%s · %u thing missing", "%s · %u things missing", self->open->len), progress,
                              self->open->len);
}

/* --- beside the document --- */

void
bl_checklist_beside_read (BlChecklistBeside *self, BlLibrary *library, gint64 board)
{
  g_return_if_fail (self != NULL && library != NULL);

  g_clear_pointer (&self->aside, g_hash_table_unref);
  self->aside = bl_library_things_aside (library, board, NULL);
  if (self->outside == NULL)
    self->outside = bl_library_acted_on_from_outside (library, board, NULL);
}

void
bl_checklist_beside_clear (BlChecklistBeside *self)
{
  g_clear_pointer (&self->aside, g_hash_table_unref);
  g_clear_pointer (&self->outside, g_hash_table_unref);
}

/* --- not to be done --- */

typedef struct
{
  const char *key;
  gboolean aside;
} Setting;

static gboolean
keep_aside (BlEdition *edition, gpointer data, GError **error)
{
  const Setting *setting = data;

  return bl_library_set_aside (bl_edition_get_library (edition), bl_edition_get_id (edition), setting->key,
                               setting->aside, error);
}

gboolean
bl_edition_set_aside (BlEdition *edition, const BlThing *thing, gboolean aside, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && thing != NULL, FALSE);
  g_autofree char *key = g_strdup (thing->key);
  g_autofree char *label = g_strdup_printf (aside ? _ ("set aside: %s") : _ ("on the list again: %s"), thing->words);
  Setting setting = { key, aside };

  return bl_edition_aside (edition, label, keep_aside, &setting, error);
}
