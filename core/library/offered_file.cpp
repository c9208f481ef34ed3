#include "core/library/offered_file.h"

#include <utility>

#include "core/library/reference_guess.h"

namespace beatwitness::library {

OfferedFile offered(std::shared_ptr<const ReadFile> file) {
    OfferedFile offer;
    offer.summary = trace::summarise(file->read.recording);
    offer.trace = std::make_shared<const trace::Trace<RecordingClock>>(trace::traceOf(file->read.recording));
    offer.blemishes = blemishShare(*offer.trace, offer.summary);
    offer.file = std::move(file);
    return offer;
}

}  // namespace beatwitness::library
