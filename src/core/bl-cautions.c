/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The texts of the cautions. Each names where it comes from; what is said everywhere in the trade and was found
 * nowhere says so. The limits of the shop are put in where {dc}, {ac}, {ohms} and {again} stand. */
#include "config.h"

#include "bl-cautions.h"

#include <glib/gi18n-lib.h>

static const BlCaution charge[] = {
  { N_ ("Mains and a DC link of 320 to 390 V kill, the link also minutes after switch-off. From some 10 J on a charged "
        "capacitor is dangerous: 330 µF at 340 V hold 19 J."), NULL },
  { N_ ("Above {dc} V DC or {ac} V AC this shop takes a voltage for dangerous. Below it burns and startled hands still "
        "hurt."), N_ ("defaults of IEC 62368-1, table 4, class ES1 (from memory)") },
  { N_ ("Discharge through a resistor made for it, such as 2.2 kΩ 10 W with insulated clips, never with a screwdriver. "
        "Measure, and leave the clip on while you work."), NULL },
  { N_ ("Below {ohms} V before ohms and diode tests, and measured once more after {again} s: a discharged capacitor "
        "recovers."), NULL },
  { N_ ("A bleeder that failed open discharges nothing, and how fast a capacitor leaks is not known. A time that has "
        "passed proves nothing."), NULL },
};

static const BlCaution proof[] = {
  { N_ ("Prove dead: a known live source, the point, the known source again. 0 V with the probes in the air, or on the "
        "wrong range, is no proof."), N_ ("HSE GS38 (from memory)") },
  { N_ ("A proof is void after any live state. Isolate, lock off, and keep the key with you."), NULL },
  { N_ ("Meter: CAT II for what is on a plug, CAT III for the fixed installation and its boards, for the voltage there "
        "is."), N_ ("IEC 61010-1 (from memory)") },
  { N_ ("Probes with finger barriers, a bare tip of not more than 4 mm, better 2 mm, and fused leads."),
    N_ ("HSE GS38 and IEC 61010-031 (from memory)") },
};

static const BlCaution grounds[] = {
  { N_ ("Hot ground of the primary side and isolated ground are different. A lead that joins them, the ground clip of "
        "an oscilloscope too, kills the board and the instrument."), NULL },
  { N_ ("The link loop, heat sinks, sensors and displays of boards without isolation may stand at mains potential."),
    NULL },
  { N_ ("On the primary side: a battery meter, a differential probe or an isolated oscilloscope, rated above 1 kV."),
    NULL },
};

static const BlCaution supply[] = {
  { N_ ("An isolating transformer protects from touching one conductor and earth. Touching two of its conductors is "
        "seen by no residual-current device and can kill, and one clip to earth ends its protection. One appliance at a "
        "time; its outlet is marked for live tests only."), N_ ("HSE INDG354 (from memory)") },
  { N_ ("A residual-current device of 30 mA protects the ordinary outlets of the bench, nothing behind an isolating "
        "transformer."), N_ ("HSE INDG354 (from memory)") },
  { N_ ("After a repair on the hot side, each time: resistance of the bus, a current-limited supply or a lamp in "
        "series, a way to discharge."), NULL },
};

static const BlCaution person[] = {
  { N_ ("One hand, dry, no jewellery, an insulating mat, the emergency switch in reach, and a second person in sight."),
    NULL },
  { N_ ("The output of test equipment above 3 mA is taken for dangerous."), N_ ("HSE INDG354 (from memory)") },
  { N_ ("Live work on the hot side is not for juniors alone."), NULL },
};

static const BlCaution parts[] = {
  { N_ ("Never defeat a fuse, a varistor, a thermal cut-out or the protective earth. A replacement has the same safety "
        "class: X2, Y1, fusible resistor."), NULL },
  { N_ ("Test insulation on the cable alone, lifted at both ends, never through a board."), NULL },
  { N_ ("An exchange of conductors is a short test: isolated and proved dead, a temporary lead first, a spare core "
        "second, and not where leakage is suspected. The core has to carry the current. Restore or mark again "
        "afterwards; the local code may want a licensed electrician."), NULL },
  { N_ ("Green-and-yellow is for the protective conductor alone: never use it for anything else."),
    N_ ("IEC 60445, 6.3 (from memory)") },
};

static const BlCaution others[] = {
  { N_ ("Refrigerant, gas, flue and fixed wiring are for licensed people only. With a flammable refrigerant nothing is "
        "opened live near a leak."), NULL },
};

#define GROUP(title, list) { title, list, G_N_ELEMENTS (list) }
static const BlCautionGroup groups[] = {
  GROUP (N_ ("What stays charged"), charge),     GROUP (N_ ("Proving dead"), proof),
  GROUP (N_ ("Grounds"), grounds),               GROUP (N_ ("What feeds the bench"), supply),
  GROUP (N_ ("The person"), person),             GROUP (N_ ("Parts and conductors"), parts),
  GROUP (N_ ("Not the work of this bench"), others),
};

const BlCautionGroup *
bl_caution_groups (guint *n)
{
  *n = G_N_ELEMENTS (groups);
  return groups;
}

const char *
bl_caution_first (void)
{
  return _ ("Local codes and licensed practice come first. This sheet reminds of what is usual; it allows nothing, and "
            "nothing on it makes a board safe.");
}

static void
put (GString *text, const char *mark, double value)
{
  g_autofree char *figure = g_strdup_printf ("%g", value);

  g_string_replace (text, mark, figure, 0);
}

char *
bl_caution_text (const BlCaution *caution, const BlSafeLimits *limits)
{
  g_return_val_if_fail (caution != NULL && limits != NULL, NULL);
  g_autoptr (GString) text = g_string_new (_ (caution->text));

  put (text, "{dc}", limits->shock_dc);
  put (text, "{ac}", limits->shock_ac);
  put (text, "{ohms}", limits->ohms_below);
  put (text, "{again}", limits->again_s);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

const char *
bl_caution_source (const BlCaution *caution)
{
  g_return_val_if_fail (caution != NULL, NULL);
  return caution->source != NULL ? _ (caution->source) : _ ("common practice, no source");
}
