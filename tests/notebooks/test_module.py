"""notebooks/noxwash.py against the program.   usage: test_module.py NOXWASH"""
import math
import os
import pathlib
import sys
import tempfile
import unittest

sys.dont_write_bytecode = True
TREE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TREE / "notebooks"))
if len(sys.argv) > 1:
    os.environ["NOXWASH"] = sys.argv.pop(1)
import noxwash  # noqa: E402

STILL = {"source": {"kind": "acid vapour", "acid made": "0.60 mol", "decomposed": "35 %",
                    "duration": "40 min"},
         "train": [{"glass": "washing bottle 250 mL", "liquid": "150 mL"}]}


class CaseFiles(unittest.TestCase):
    def test_text(self):
        text = noxwash.yaml_text({"a b": [{"c": "1 mL", "d": True}, {"e": {"f": 0.1}}],
                                  "g": "x: #"})
        self.assertEqual(text, 'a b:\n  -\n    c: 1 mL\n    d: yes\n  -\n    e:\n      f: 0.1\n'
                               'g: "x: #"\n')

    def test_refused(self):
        for case in ({"a": {}}, {"a": []}):
            with self.assertRaises(ValueError):
                noxwash.yaml_text(case)
        with self.assertRaises(TypeError):
            noxwash.yaml_text({"a": None})

    def test_changed_leaves_the_first(self):
        other = noxwash.changed(STILL, "train[0].bath.kind", "water")
        self.assertEqual(other["train"][0]["bath"], {"kind": "water"})
        self.assertNotIn("bath", STILL["train"][0])
        self.assertNotIn("liquid", noxwash.changed(STILL, "train[0].liquid", None)["train"][0])

    def test_every_shape_is_read_as_meant(self):
        case = noxwash.changed(STILL, "train[0].bath",
                               {"kind": "ice water", "ice": "300 g", "stirred": True})
        case = noxwash.changed(case, "constants.factor_kL", 1.5)
        document = noxwash.estimate(case).document
        stage = document["case"]["train"][0]
        self.assertIs(stage["bath_stirred"], True)
        self.assertAlmostEqual(stage["ice_kg"], 0.3, places=12)
        self.assertEqual(document["constants"]["overrides"], {"factor_kL": 1.5})


class Estimates(unittest.TestCase):
    def test_same_as_the_shipped_case(self):
        ours = noxwash.estimate(STILL).headline
        shipped = noxwash.estimate(TREE / "params" / "cases" / "still.yaml").headline
        self.assertEqual(ours["kept_mol"], shipped["kept_mol"])
        self.assertGreater(ours["kept_mol"], 0)

    def test_frames_belong_together(self):
        run = noxwash.estimate(STILL, series=True, what_if=True)
        last = run.series.iloc[-1]
        self.assertEqual(list(run.stages.index), [1])
        # the series prints ten digits
        self.assertTrue(math.isclose(last["kept_mol"], run.stages.loc[1, "nitrate_mol"],
                                     rel_tol=1e-9))
        self.assertTrue(math.isclose(last["time_s"], run.headline["end_s"], rel_tol=1e-9))
        why = run.headline[[k for k in run.headline.index if k.startswith("why_")]]
        self.assertTrue(math.isclose(why.sum(), run.headline["escaped_mol"], rel_tol=1e-6))
        self.assertEqual(run.events["kind"].iloc[0], "source_starts")
        self.assertTrue((run.events["time_s"].diff().dropna() >= 0).all())
        self.assertGreater(run.what_if.loc["kept_mol", "with peroxide"],
                           run.what_if.loc["kept_mol", "as it is"])
        self.assertTrue(run.warnings and run.cautions)

    def test_fault_of_a_case_is_handed_on(self):
        bad = noxwash.changed(STILL, "source.duration", "40 mL")
        with self.assertRaises(noxwash.Failure) as caught:
            noxwash.estimate(bad)
        self.assertEqual(caught.exception.exit_code, 3)
        self.assertIn("duration", caught.exception.message)
        frame = noxwash.estimate_all([STILL, bad, STILL])
        self.assertEqual(list(frame["kept_mol"].isna()), [False, True, False])
        self.assertIn("duration", frame["failure"][1])


    def test_sweep(self):
        frame = noxwash.sweep(STILL, "train[1].liquid=100,150 mL", "source.decomposed=20,35 %")
        self.assertEqual(len(frame), 4)
        one = frame[(frame["train[1].liquid (mL)"] == 150) & (frame["source.decomposed (%)"] == 35)]
        self.assertEqual(len(one), 1)
        ours = noxwash.estimate(STILL).headline["kept_mol"]
        self.assertTrue(math.isclose(one["kept_mol"].iloc[0], ours, rel_tol=1e-6))  # the tolerance
        self.assertEqual(len(noxwash.sweep(STILL, "train[1].liquid=100:150 mL", sample=3)), 3)

    def test_remedies(self):
        frame = noxwash.remedies(STILL)
        self.assertGreater(len(frame), 10)
        alone = noxwash.estimate(noxwash.changed(STILL, "after", {"standing": "150 min"})).headline
        ours = noxwash.estimate(STILL).headline
        gain = frame.loc["longer standing", "gain_mol"]
        # amounts to 1e-6 of some 0.2 mol
        self.assertAlmostEqual(gain, alone["kept_mol"] - ours["kept_mol"], delta=1e-6)
        self.assertTrue(frame.loc["longer standing", "raises_escape"])


class Program(unittest.TestCase):
    def test_selftest(self):
        rows = noxwash.selftest()
        passed = rows[rows["verdict"] == "passed"]
        self.assertGreater(len(passed), 1000)
        inside = passed["ours"].between(passed["allowed_low"], passed["allowed_high"])
        self.assertTrue(inside.all(), passed[~inside])
        self.assertFalse(rows["part"].str.contains(r"[./]").any())

    def test_whole_bottles(self):
        rows = noxwash.whole_bottles()
        self.assertGreater(len(rows), 40)
        inside = rows["ours"].between(rows["allowed_low"], rows["allowed_high"])
        self.assertEqual(list(inside), list(rows["verdict"] == "passed"))

    def test_constants(self):
        table = noxwash.constants()
        self.assertTrue((table["low"] <= table["value"]).all())
        self.assertTrue((table["value"] <= table["high"]).all())

    def test_missing_program(self):
        kept = os.environ["NOXWASH"]
        try:
            os.environ["NOXWASH"] = "/nonexistent/noxwash"
            with self.assertRaises(FileNotFoundError):
                noxwash.selftest()
        finally:
            os.environ["NOXWASH"] = kept

    def test_charts_do_not_go_into_the_tree(self):
        kept = os.environ.pop("NOXWASH_CHARTS", None)
        try:
            folder = pathlib.Path(noxwash.charts_folder())
            self.assertNotIn(TREE, folder.resolve().parents)
            folder.rmdir()
            with tempfile.TemporaryDirectory() as base:
                os.environ["NOXWASH_CHARTS"] = os.path.join(base, "a", "b")
                self.assertEqual(noxwash.charts_folder(), os.path.join(base, "a", "b"))
                self.assertTrue(os.path.isdir(os.path.join(base, "a", "b")))
        finally:
            os.environ.pop("NOXWASH_CHARTS", None)
            if kept is not None:
                os.environ["NOXWASH_CHARTS"] = kept


if __name__ == "__main__":
    if "NOXWASH" not in os.environ:
        sys.exit(__doc__)
    unittest.main()
