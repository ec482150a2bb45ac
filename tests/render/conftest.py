"""The documents of the invented plant, rendered once."""

import invented_views
import pytest

from speccomp.render.html import render_control_plan, render_work_instruction
from speccomp.render.pdf import render_pdf


@pytest.fixture(scope="session")
def instruction():
    return invented_views.instruction()


@pytest.fixture(scope="session")
def plan():
    return invented_views.plan()


@pytest.fixture(scope="session")
def instruction_html(instruction):
    return render_work_instruction(instruction)


@pytest.fixture(scope="session")
def plan_html(plan):
    return render_control_plan(plan)


@pytest.fixture(scope="session")
def instruction_pdf(instruction, instruction_html):
    return render_pdf(instruction_html, instruction.title_block, invented_views.SOURCES)


@pytest.fixture(scope="session")
def plan_pdf(plan, plan_html):
    return render_pdf(plan_html, plan.title_block)
