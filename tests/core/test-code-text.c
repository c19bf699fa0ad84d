/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What codes say: our own address, GS1, an envelope of ISO/IEC 15434 with data identifiers of ANSI MH10.8.2 (from
 * memory), names and values, a serial number alone. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-code-text.h"
#include "bl-job-link.h"

#define UID "0f3c91d27a554f06b1c28e90d3ab4410"

static const BlCodePart *
part (const BlCodeText *text, guint i)
{
  g_assert_cmpuint (i, <, text->parts->len);
  return g_ptr_array_index (text->parts, i);
}

static void
assert_part (const BlCodeText *text, guint i, BlCodeField field, const char *label, const char *value)
{
  g_assert_cmpint (part (text, i)->field, ==, field);
  g_assert_cmpstr (part (text, i)->label, ==, label);
  g_assert_cmpstr (part (text, i)->value, ==, value);
}

static void
test_link (void)
{
  static const char *const same[] = { "benchlore:job/" UID, " benchlore:job/" UID "\r\n",
                                      /* Caps Lock; a German layout; a sign outside ASCII */
                                      "BENCHLORE:JOB/0F3C91D27A554F06B1C28E90D3AB4410", "benchloreÖjob-" UID,
                                      "benchlore>job&" UID };
  static const char *const others[] = { "", "benchlore:job/", "benchlore:job/123", "benchlore:job/" UID "0", UID,
                                        "benchlore job/" UID, "http://benchlore/job/" UID,
                                        "benchlore:job/0f3c91d27a554f06b1c28e90d3ab441g" };
  g_autofree char *link = bl_job_link (UID);

  g_assert_cmpstr (link, ==, "benchlore:job/" UID);
  for (guint i = 0; i < G_N_ELEMENTS (same); i++)
    {
      g_autofree char *uid = bl_job_link_parse (same[i]);
      g_autoptr (BlCodeText) text = bl_code_text_read (same[i]);
      g_assert_cmpstr (uid, ==, UID);
      g_assert_cmpstr (text->job, ==, UID);
      g_assert_cmpuint (text->parts->len, ==, 0);
    }
  for (guint i = 0; i < G_N_ELEMENTS (others); i++)
    g_assert_null (bl_job_link_parse (others[i]));
  g_assert_null (bl_job_link_parse (NULL));
}

static void
test_alone (void)
{
  g_autoptr (BlCodeText) text = bl_code_text_read ("  W3-2207-0117\n");
  g_autoptr (BlCodeText) page = bl_code_text_read ("https://example.com/help");

  assert_part (text, 0, BL_CODE_SERIAL, "", "W3-2207-0117");
  g_assert_cmpuint (text->parts->len, ==, 1);
  assert_part (page, 0, BL_CODE_OTHER, "", "https://example.com/help");
  g_assert_null (bl_code_text_read (" \n"));
}

static void
test_gs1 (void)
{
  g_autoptr (BlCodeText) text = bl_code_text_read ("]C10109501101530003" "240BX-200\x1d" "21W3-7\x1d" "250W3-8");
  g_autoptr (BlCodeText) broken = bl_code_text_read ("(01)09501101530004(21)7");

  assert_part (text, 0, BL_CODE_UNIT, "GTIN", "09501101530003");
  assert_part (text, 1, BL_CODE_BOARD_NUMBER, "ADDITIONAL ID", "BX-200");
  assert_part (text, 2, BL_CODE_SERIAL, "SERIAL", "W3-7");
  assert_part (text, 3, BL_CODE_OTHER, "SECONDARY SERIAL", "W3-8"); /* the first serial stays */
  g_assert_null (text->trouble);
  /* What says that it is one and is not stands there as it is, and nothing is taken from it. */
  g_assert_nonnull (broken->trouble);
  assert_part (broken, 0, BL_CODE_OTHER, "", "(01)09501101530004(21)7");
}

static void
test_envelope (void)
{
  g_autoptr (BlCodeText) text
    = bl_code_text_read ("[)>\x1e" "06\x1d" "1PBX-200\x1d" "2PC\x1d" "SW3-2207-0117\x1d" "10D2611\x1e\x04");
  g_autoptr (BlCodeText) gs1 = bl_code_text_read ("[)>\x1e" "05\x1d" "21W3\x1e\x04");

  assert_part (text, 0, BL_CODE_BOARD_NUMBER, "1P", "BX-200");
  assert_part (text, 1, BL_CODE_EDITION, "2P", "C");
  assert_part (text, 2, BL_CODE_SERIAL, "S", "W3-2207-0117");
  assert_part (text, 3, BL_CODE_OTHER, "10D", "2611");
  assert_part (gs1, 0, BL_CODE_SERIAL, "SERIAL", "W3");
}

static void
test_names (void)
{
  g_autoptr (BlCodeText) text = bl_code_text_read ("P/N: BX-200; Rev=C | S/N:W3-7;made in week 11;\n");

  assert_part (text, 0, BL_CODE_BOARD_NUMBER, "P/N", "BX-200");
  assert_part (text, 1, BL_CODE_EDITION, "Rev", "C");
  assert_part (text, 2, BL_CODE_SERIAL, "S/N", "W3-7");
  assert_part (text, 3, BL_CODE_OTHER, "", "made in week 11");
  g_assert_cmpuint (text->parts->len, ==, 4);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/code-text/link", test_link);
  g_test_add_func ("/core/code-text/alone", test_alone);
  g_test_add_func ("/core/code-text/gs1", test_gs1);
  g_test_add_func ("/core/code-text/envelope", test_envelope);
  g_test_add_func ("/core/code-text/names", test_names);
  return g_test_run ();
}
