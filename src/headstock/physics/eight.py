"""Eight numbers as one value in compiled code: read, reckoned with, chosen by selection and written eight at a time.

The machine's own wide registers do it, or several narrower ones. Formulas written with ``select`` and ``root`` serve one
number as well as eight. Without compiling, eight numbers are a small array.
"""

# mypy: disable-error-code="no-untyped-call, untyped-decorator, misc"
# The compiler's own parts have no types.

from __future__ import annotations

import math
import operator
from typing import Any

import numpy as np
from llvmlite import ir  # type: ignore[import-untyped]
from numba.core import types
from numba.core.imputils import lower_cast
from numba.core.typing.templates import AbstractTemplate, infer_global, signature
from numba.extending import lower_builtin, models, register_model, type_callable

from headstock.physics.arrays import Floats

WIDTH = 8
_WIDE, _MASK = ir.VectorType(ir.DoubleType(), WIDTH), ir.VectorType(ir.IntType(1), WIDTH)


def load(table: Floats, row: int, at: int) -> Any:
    """Eight numbers of a row of a table from a place on."""
    return table[row, at : at + WIDTH].copy()


def store(table: Floats, row: int, at: int, numbers: Any) -> None:
    """Eight numbers into a row of a table from a place on."""
    table[row, at : at + WIDTH] = numbers


def eight(number: float) -> Any:
    """The same number eight times."""
    return np.full(WIDTH, number)


def select(choice: Any, one: Any, other: Any) -> Any:
    """One where the choice is true, else the other; both are worked out."""
    return np.where(choice, one, other) if isinstance(choice, np.ndarray) else (one if choice else other)


def root(number: Any) -> Any:
    """Square root."""
    return np.sqrt(number) if isinstance(number, np.ndarray) else math.sqrt(number)


class EightNumbers(types.Type):
    """The compiler's type of eight numbers."""

    def __init__(self) -> None:
        super().__init__(name="EightNumbers")


class EightChoices(types.Type):
    """The compiler's type of eight yes or no."""

    def __init__(self) -> None:
        super().__init__(name="EightChoices")


NUMBERS, CHOICES = EightNumbers(), EightChoices()


@register_model(EightNumbers)
class _NumbersModel(models.PrimitiveModel):
    def __init__(self, manager: Any, kind: Any) -> None:
        super().__init__(manager, kind, _WIDE)


@register_model(EightChoices)
class _ChoicesModel(models.PrimitiveModel):
    def __init__(self, manager: Any, kind: Any) -> None:
        super().__init__(manager, kind, _MASK)


def _spread(builder: Any, number: Any) -> Any:
    """One number into all eight places."""
    first = builder.insert_element(ir.Constant(_WIDE, ir.Undefined), number, ir.Constant(ir.IntType(32), 0))
    same = ir.Constant(ir.VectorType(ir.IntType(32), WIDTH), [0] * WIDTH)
    return builder.shuffle_vector(first, ir.Constant(_WIDE, ir.Undefined), same)


@lower_cast(types.Float, EightNumbers)
def _from_float(context: Any, builder: Any, source: Any, _: Any, number: Any) -> Any:
    return _spread(builder, context.cast(builder, number, source, types.float64))


@lower_cast(types.Integer, EightNumbers)
def _from_integer(context: Any, builder: Any, source: Any, _: Any, number: Any) -> Any:
    return _spread(builder, context.cast(builder, number, source, types.float64))


def _is_number(kind: Any) -> bool:
    return isinstance(kind, (EightNumbers, types.Float, types.Integer))


def _of_numbers(operation: Any, emit: Any, gives: Any) -> None:
    """Teaches the compiler an operation of two numbers of which one at least is eight."""

    @infer_global(operation)
    class _Operation(AbstractTemplate):
        def generic(self, args: Any, _: Any) -> Any:
            if len(args) == 2 and NUMBERS in args and all(_is_number(kind) for kind in args):
                return signature(gives, NUMBERS, NUMBERS)
            return None

    @lower_builtin(operation, EightNumbers, EightNumbers)
    def _lowered(_: Any, builder: Any, __: Any, args: Any) -> Any:
        return emit(builder, *args)


def _compared(sign: str) -> Any:
    return lambda builder, a, b: builder.fcmp_ordered(sign, a, b)


_of_numbers(operator.add, lambda builder, a, b: builder.fadd(a, b), NUMBERS)
_of_numbers(operator.sub, lambda builder, a, b: builder.fsub(a, b), NUMBERS)
_of_numbers(operator.mul, lambda builder, a, b: builder.fmul(a, b), NUMBERS)
_of_numbers(operator.truediv, lambda builder, a, b: builder.fdiv(a, b), NUMBERS)
_of_numbers(operator.lt, _compared("<"), CHOICES)
_of_numbers(operator.gt, _compared(">"), CHOICES)
_of_numbers(operator.le, _compared("<="), CHOICES)
_of_numbers(operator.ge, _compared(">="), CHOICES)
_of_numbers(operator.eq, _compared("=="), CHOICES)


def _of_choices(operation: Any, emit: Any) -> None:
    """Teaches the compiler an operation of two choices."""

    @infer_global(operation)
    class _Operation(AbstractTemplate):
        def generic(self, args: Any, _: Any) -> Any:
            return signature(CHOICES, CHOICES, CHOICES) if tuple(args) == (CHOICES, CHOICES) else None

    @lower_builtin(operation, EightChoices, EightChoices)
    def _lowered(_: Any, builder: Any, __: Any, args: Any) -> Any:
        return emit(builder, *args)


_of_choices(operator.and_, lambda builder, a, b: builder.and_(a, b))
_of_choices(operator.or_, lambda builder, a, b: builder.or_(a, b))


def _of_one(operation: Any, name: str) -> None:
    """Teaches the compiler a function of eight numbers that the machine has."""

    @infer_global(operation)
    class _Operation(AbstractTemplate):
        def generic(self, args: Any, _: Any) -> Any:
            return signature(NUMBERS, NUMBERS) if tuple(args) == (NUMBERS,) else None

    @lower_builtin(operation, EightNumbers)
    def _lowered(_: Any, builder: Any, __: Any, args: Any) -> Any:
        kind = ir.FunctionType(_WIDE, [_WIDE])
        function = builder.module.globals.get(name) or ir.Function(builder.module, kind, name)
        return builder.call(function, args)


_of_one(abs, "llvm.fabs.v8f64")
_of_one(root, "llvm.sqrt.v8f64")


@infer_global(operator.neg)
class _Negative(AbstractTemplate):
    def generic(self, args: Any, _: Any) -> Any:
        return signature(NUMBERS, NUMBERS) if tuple(args) == (NUMBERS,) else None


@lower_builtin(operator.neg, EightNumbers)
def _negative(_: Any, builder: Any, __: Any, args: Any) -> Any:
    return builder.fneg(args[0])


@infer_global(root)
class _RootOfOne(AbstractTemplate):
    def generic(self, args: Any, _: Any) -> Any:
        return signature(types.float64, types.float64) if isinstance(args[0], (types.Float, types.Integer)) else None


@lower_builtin(root, types.float64)
def _root_of_one(_: Any, builder: Any, __: Any, args: Any) -> Any:
    kind = ir.FunctionType(ir.DoubleType(), [ir.DoubleType()])
    function = builder.module.globals.get("llvm.sqrt.f64") or ir.Function(builder.module, kind, "llvm.sqrt.f64")
    return builder.call(function, args)


@type_callable(eight)
def _type_of_eight(_: Any) -> Any:
    return lambda number: NUMBERS if isinstance(number, (types.Float, types.Integer)) else None


@lower_builtin(eight, types.Float)
@lower_builtin(eight, types.Integer)
def _lowered_eight(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    return _spread(builder, context.cast(builder, args[0], sig.args[0], types.float64))


@infer_global(select)
class _Select(AbstractTemplate):
    def generic(self, args: Any, _: Any) -> Any:
        choice, one, other = args
        if choice == CHOICES and _is_number(one) and _is_number(other):
            return signature(NUMBERS, CHOICES, NUMBERS, NUMBERS)
        if isinstance(choice, types.Boolean) and not {NUMBERS, CHOICES} & {one, other}:
            return signature(types.float64, types.boolean, types.float64, types.float64)
        return None


@lower_builtin(select, EightChoices, EightNumbers, EightNumbers)
def _selected(_: Any, builder: Any, __: Any, args: Any) -> Any:
    return builder.select(*args)


@lower_builtin(select, types.Boolean, types.Float, types.Float)
def _selected_one(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    choice = args[0]
    if choice.type != ir.IntType(1):
        choice = builder.trunc(choice, ir.IntType(1))
    return builder.select(choice, args[1], args[2])


def _place(context: Any, builder: Any, kind: Any, args: Any) -> Any:
    """Where eight numbers of a row begin."""
    table = context.make_array(kind)(context, builder, args[0])
    length = builder.extract_value(table.shape, 1)
    first = builder.gep(table.data, [builder.add(builder.mul(args[1], length), args[2])])
    return builder.bitcast(first, _WIDE.as_pointer())


@type_callable(load)
def _type_of_load(_: Any) -> Any:
    return lambda table, row, at: NUMBERS


@lower_builtin(load, types.Array, types.Integer, types.Integer)
def _loaded(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    whole = [args[0], *(context.cast(builder, a, k, types.int64) for a, k in zip(args[1:], sig.args[1:], strict=True))]
    return builder.load(_place(context, builder, sig.args[0], whole), align=8)


@infer_global(store)
class _Store(AbstractTemplate):
    def generic(self, args: Any, _: Any) -> Any:
        table, _, _, numbers = args
        return signature(types.none, table, types.int64, types.int64, NUMBERS) if _is_number(numbers) else None


@lower_builtin(store, types.Array, types.Integer, types.Integer, EightNumbers)
def _stored(context: Any, builder: Any, sig: Any, args: Any) -> Any:
    builder.store(args[3], _place(context, builder, sig.args[0], args[:3]), align=8)
    return context.get_dummy_value()
