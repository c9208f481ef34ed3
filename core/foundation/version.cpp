#include "core/foundation/version.h"

namespace beatwitness {

std::string_view programVersion() {
    return "beatwitness " BEATWITNESS_VERSION;
}

}  // namespace beatwitness
