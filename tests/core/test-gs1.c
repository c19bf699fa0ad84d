/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Element strings against the GS1 General Specifications. From memory, as printed there and in GS1's other documents:
 * the check digits of 629104150021 (3) and 37610425002123456 (9), worked out on GS1's page about check digits; the
 * GTIN 09501101530003 and the address id.gs1.org/01/.../10/.../21/... of the GS1 Digital Link standard; the FNC1 behind
 * fields of open length, read as GS. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-gs1.h"

#include <string.h>

#include "bl-problem.h"

static char *
read_all (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) fields = bl_gs1_parse (text, &error);
  GString *all = g_string_new (NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < fields->len; i++)
    {
      const BlGs1Field *field = g_ptr_array_index (fields, i);
      g_string_append_printf (all, "%s%s=%s", i > 0 ? " " : "", field->ai, field->value);
    }
  return g_string_free (all, FALSE);
}

static void
assert_reads (const char *text, const char *expected)
{
  g_autofree char *got = read_all (text);

  g_assert_true (bl_gs1_is_element_string (text));
  g_assert_cmpstr (got, ==, expected);
}

static void
assert_refused (const char *text, const char *part)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (bl_gs1_parse (text, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
  g_assert_nonnull (strstr (error->message, part));
}

static void
test_check_digit (void)
{
  g_assert_cmpint (bl_gs1_check_digit ("629104150021", 12), ==, '3');
  g_assert_cmpint (bl_gs1_check_digit ("37610425002123456", 17), ==, '9');
  g_assert_cmpint (bl_gs1_check_digit ("0950110153000", 13), ==, '3');
  g_assert_cmpint (bl_gs1_check_digit ("62910a", 6), ==, 0);
}

static void
test_fields (void)
{
  /* A fixed length ends by itself, an open one at FNC1. */
  assert_reads ("]C10109501101530003" "21A1-77\x1d" "10L5", "01=09501101530003 21=A1-77 10=L5");
  assert_reads ("]d2010950110153000311261126" "240BX-200\x1d" "21000123", "01=09501101530003 11=261126 240=BX-200 21=000123");
  assert_reads ("]Q3" "21X\x1d", "21=X");
  assert_reads ("\x1d" "00376104250021234569", "00=376104250021234569");
  /* One separator too many behind a fixed field. */
  assert_reads ("]C10109501101530003\x1d" "21A1", "01=09501101530003 21=A1");
  /* A count of decimals is part of the identifier. */
  assert_reads ("]C13103001250" "21Q", "3103=001250 21=Q");
}

static void
test_brackets (void)
{
  assert_reads ("(01)09501101530003(21)A1(240)BX(2)", "01=09501101530003 21=A1 240=BX(2)");
  g_assert_false (bl_gs1_is_element_string ("(see the label)"));
}

static void
test_address (void)
{
  assert_reads ("https://id.gs1.org/01/09501101530003/10/ABC%2F1/21/456?17=270101",
                "01=09501101530003 10=ABC/1 21=456 17=270101");
  /* In somebody's own domain, behind a path, a GTIN-13 without its zero. */
  assert_reads ("https://example.com/some/01/9501101530003/21/7", "01=09501101530003 21=7");
  g_assert_false (bl_gs1_is_element_string ("https://example.com/support/21"));
}

static void
test_bare (void)
{
  assert_reads ("010950110153000321A1-77", "01=09501101530003 21=A1-77");
  /* Another check digit: a number that begins with 01 by chance. */
  g_assert_false (bl_gs1_is_element_string ("010950110153000421A1-77"));
  g_assert_false (bl_gs1_is_element_string ("0109501101530003"));
  g_assert_false (bl_gs1_is_element_string ("21A1-77"));
}

static void
test_refused (void)
{
  assert_refused ("]C10109501101530004", "check digit");
  assert_refused ("]C121", "1 to 20");
  assert_refused ("]C121ABCDEFGHIJKLMNOPQRSTU", "1 to 20");
  assert_refused ("]C1112611X6", "digits alone");
  assert_refused ("]C105x", "no known identifier");
  assert_refused ("]C101095011015300", "14 to 14");
  assert_refused ("(21)", "1 to 20");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/gs1/check-digit", test_check_digit);
  g_test_add_func ("/core/gs1/fields", test_fields);
  g_test_add_func ("/core/gs1/brackets", test_brackets);
  g_test_add_func ("/core/gs1/address", test_address);
  g_test_add_func ("/core/gs1/bare", test_bare);
  g_test_add_func ("/core/gs1/refused", test_refused);
  return g_test_run ();
}
