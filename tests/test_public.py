"""The package as a script sees it: what `import trimwright` offers, and that it says what the commands say."""

from __future__ import annotations

import doctest
import inspect
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import trimwright as tw
from example_rooms import EXAMPLES
from trimwright import public
from trimwright.cli import main

BAD_ROOMS = {
    "misspelt key": '[room]\nname = "Box"\nceilling = 2400\n',
    "unknown profile": '[[wall]]\nname = "north"\nlength = 2710\n[[trim]]\nname = "t"\nprofile = "coev"\n',
    "no TOML": "format = \n",
}


@pytest.fixture(scope="module")
def job() -> tw.Job:
    return tw.work_out(tw.read_room(EXAMPLES / "box-room.toml"))


@pytest.mark.parametrize("module", [tw, public], ids=lambda m: m.__name__)
def test_the_examples_of_the_docstrings_hold(module: object, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(EXAMPLES.parent)
    failed, tried = doctest.testmod(module)  # type: ignore[arg-type]
    assert tried > 5
    assert not failed


def test_importing_the_package_loads_nothing_but_its_errors() -> None:
    code = (
        "import sys, trimwright as tw; tw.RoomFileError; dir(tw); print(*sorted(m for m in sys.modules if 'trim' in m))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) == {"trimwright", "trimwright.errors"}


def test_the_kernel_waits_until_solids_are_asked_for() -> None:
    code = (
        "import sys, trimwright as tw\n"
        f"tw.cut_list(tw.work_out(tw.read_room({str(EXAMPLES / 'box-room.toml')!r})))\n"
        "print(*{'cadquery', 'OCP', 'ezdxf', 'reportlab', 'embreex'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


def test_every_public_name_is_there_and_documented() -> None:
    errors = {name for name, value in vars(tw).items() if inspect.isclass(value) and issubclass(value, Exception)}
    assert set(tw.__all__) == {*public.__all__, *errors, "__version__"}
    for name in set(tw.__all__) - {"__version__"}:
        assert getattr(tw, name).__doc__
    assert set(tw.__all__) <= set(dir(tw))


def test_no_public_name_is_that_of_a_module() -> None:
    """Importing such a module would put it in the place of the name."""
    assert not {module.name for module in pkgutil.iter_modules(tw.__path__)} & set(tw.__all__)


def test_a_misspelt_name_is_an_attribute_error() -> None:
    assert not hasattr(tw, "raed_room")
    with pytest.raises(AttributeError, match="'trimwright' has no attribute 'raed_room'"):
        _ = tw.raed_room  # type: ignore[attr-defined]


def test_lists_are_those_that_the_commands_print(capsys: pytest.CaptureFixture[str]) -> None:
    path = EXAMPLES / "loft.toml"  # in feet and inches
    made = tw.work_out(tw.read_room(str(path)))
    main(["cuts", str(path)])
    assert capsys.readouterr().out == f"{tw.cut_list(made)}\n"
    main(["buy", str(path)])
    assert capsys.readouterr().out.startswith(f"{tw.cutting_plan(made)}\n\n{tw.buying_list(made)}\n\n")
    main(["check", str(path)])
    said = capsys.readouterr().out
    assert all(f"\n{piece} {trim} " in said for trim, piece, *_ in tw.clearance_list(made).rows)


def test_warnings_are_those_that_the_commands_print(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "room.toml"
    cupboard = 'wall = "north"\nname = "cupboard"\nfrom_left = 900\nwidth = 600\nbottom = 0\ntop = 2390\nout = 500\n'
    path.write_text(f"{(EXAMPLES / 'box-room.toml').read_text()}\n[[fitting]]\n{cupboard}")
    found = tw.warnings(tw.work_out(tw.read_room(path)))
    assert found
    assert main(["cuts", str(path)]) == 1
    assert capsys.readouterr().out.endswith("\n".join(["", *found, ""]))


@pytest.mark.parametrize("text", BAD_ROOMS.values(), ids=BAD_ROOMS)
def test_errors_say_what_the_commands_say(text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "room.toml"
    path.write_text(text)
    with pytest.raises(tw.TrimwrightError) as caught:
        tw.work_out(tw.read_room(path))
    assert main(["cuts", str(path)]) == 2
    assert capsys.readouterr().err == f"trimwright: {caught.value}\n"


def test_profiles_are_found_by_name_and_by_path(tmp_path: Path) -> None:
    place = tmp_path / "mine.toml"
    place.write_text((Path(public.find_profile("cove", tmp_path))).read_text())
    assert tw.read_profile(place).section() == tw.read_profile("cove").section()
    with pytest.raises(tw.ProfileError, match="perhaps 'cove'"):
        tw.read_profile("coev")


def test_a_pack_is_written_only_as_asked(job: tw.Job, tmp_path: Path) -> None:
    with pytest.raises(tw.OutputError, match="pictures: 'non' is none of none, some, all, perhaps 'none'"):
        tw.write_pack(job, tmp_path / "pack", pictures="non")  # type: ignore[arg-type]
    assert not (tmp_path / "pack").exists()
    stages: list[str] = []
    assert tw.write_pack(job, str(tmp_path / "pack"), pictures="none", step=False, progress=stages.append) == ()
    assert stages == ["meshes", "sheets", "pictures", "exact solids"]
    assert (tmp_path / "pack" / "index.html").is_file()


def test_a_site_is_built_as_by_the_command(tmp_path: Path) -> None:
    for name, walls in (("den", (2100, 1900)), ("nook", (1500, 1400))):
        lengths = (*walls, *walls)
        (tmp_path / f"{name}.toml").write_text(
            f'format = 1\n[room]\nname = "{name}"\nceiling = 2400\n'
            + "".join(
                f'[[wall]]\nname = "w{k}"\nlength = {length}\ninternal = 90\n' for k, length in enumerate(lengths)
            )
            + '[[trim]]\nname = "rail"\nprofile = "rail-plain"\nback = "wall"\ntop = 2100\n'
        )
    site = tmp_path / "row.toml"
    site.write_text(
        'format = 1\n[site]\nname = "Row"\ndate = "2026-11-28"\n'
        '[[room]]\nfile = "den.toml"\ncount = 3\n[[room]]\nfile = "nook.toml"\n'
    )
    told: list[str] = []
    report = tw.build_site(site, tmp_path / "out", pictures="none", step=False, processes=1, progress=told.append)
    assert (report.failures, report.warnings) == ([], [])
    assert "2 of 2 rooms; nook" in told
    assert main(["batch", str(site), "--out", str(tmp_path / "again"), "--no-pictures", "--no-step"]) == 0
    for file in ("site.json", "index.html", "buying.csv", "cutting-plan.csv"):
        assert (tmp_path / "out" / file).read_bytes() == (tmp_path / "again" / file).read_bytes()
    with pytest.raises(tw.RoomFileError, match=r"nowhere\.toml"):
        tw.build_site(tmp_path / "nowhere.toml", tmp_path / "none")
    with pytest.raises(tw.OutputError, match="processes: -1 is no number of processes"):
        tw.build_site(site, tmp_path / "none", processes=-1)
