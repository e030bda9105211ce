"""The README tells the truth: its job builds, its message is what the tool says."""

import json
import re
from pathlib import Path

from click.testing import CliRunner

from parts.__main__ import main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def job_of_readme() -> str:
    found = re.search(r"```toml\n(.*?)```", README, re.DOTALL)
    assert found
    return found[1]


def test_the_job_in_the_readme_can_be_built(tmp_path: Path) -> None:
    job = tmp_path / "shelf.toml"
    job.write_text(job_of_readme(), encoding="utf-8")
    result = CliRunner().invoke(main, ["build", str(job), "--out", str(tmp_path), "--only", "dxf"])
    assert result.exit_code == 0, result.output


def test_the_readme_quotes_the_misread_as_the_tool_words_it(tmp_path: Path) -> None:
    job = tmp_path / "shelf.toml"
    text = job_of_readme().replace('A2 = "110 ± 0.7", S2', 'A2 = "101 ± 0.7", S2')
    assert text != job_of_readme()
    job.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["check", str(job)])
    assert result.exit_code == 2
    said = result.output.splitlines()[0].replace(str(job), "shelf.toml")
    assert said in README


def test_the_first_command_of_the_readme_names_files_that_exist() -> None:
    (command,) = re.findall(r"^python3 -m venv .*$", README, re.MULTILINE)
    assert (ROOT / command.split()[-1]).is_file()
    for picture in re.findall(r"!\[[^]]*\]\(([^)]+)\)", README):
        assert (ROOT / picture).is_file()


def test_the_readme_names_the_statuses_and_keys_of_the_document(tmp_path: Path) -> None:
    job = tmp_path / "shelf.toml"
    job.write_text(job_of_readme(), encoding="utf-8")
    words = ["build", str(job), "--out", str(tmp_path), "--only", "dxf", "--json"]
    document = json.loads(CliRunner().invoke(main, words).stdout)
    (part,) = document["parts"]
    assert part["status"] == "built"
    for key in ("status", "problems", "figures", "findings", "cautions", "files"):
        assert key in part
    for word in ("`checked`", "`built`", "`refused`", "`unproved`", "`problems`"):
        assert word in README
