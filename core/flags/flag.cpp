#include "core/flags/flag.h"

#include <cassert>

namespace beatwitness::flags {

std::string_view flagKindName(FlagKind kind) {
    switch (kind) {
        case FlagKind::Dropout:
            return "dropout";
    }
    assert(false);
    return "dropout";
}

}  // namespace beatwitness::flags
