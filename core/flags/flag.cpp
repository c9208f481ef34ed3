#include "core/flags/flag.h"

#include <cassert>

namespace beatwitness::flags {

std::string_view flagKindName(FlagKind kind) {
    switch (kind) {
        case FlagKind::Dropout:
            return "dropout";
        case FlagKind::Spike:
            return "spike";
        case FlagKind::HalfRate:
            return "half-rate";
        case FlagKind::DoubleRate:
            return "double-rate";
        case FlagKind::CadenceLock:
            return "cadence-lock";
        case FlagKind::Stuck:
            return "stuck";
        case FlagKind::MissedRise:
            return "missed-rise";
        case FlagKind::Lag:
            return "lag";
        case FlagKind::Damped:
            return "damped";
        case FlagKind::Adrift:
            return "adrift";
    }
    assert(false);
    return "dropout";
}

std::optional<FlagKind> flagKindOf(std::string_view name) {
    for (const auto kind : allFlagKinds)
        if (flagKindName(kind) == name) return kind;
    return std::nullopt;
}

std::string_view magnitudeUnit(FlagKind kind) {
    switch (kind) {
        case FlagKind::Dropout:
        case FlagKind::Stuck:
        case FlagKind::Lag:
            return "s";
        case FlagKind::Spike:
        case FlagKind::Adrift:
            return "bpm";
        case FlagKind::HalfRate:
        case FlagKind::DoubleRate:
        case FlagKind::MissedRise:
        case FlagKind::Damped:
            return "ratio";
        case FlagKind::CadenceLock:
            return "multiple";
    }
    assert(false);
    return "s";
}

}  // namespace beatwitness::flags
