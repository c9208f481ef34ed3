#include "core/recording/gpx_sink.h"

#include "core/recording/xml_names.h"

namespace beatwitness::recording::xml {

bool GpxSink::enter(std::string_view localName, pugi::xml_node element, std::size_t) {
    if (localName == "gpx") {
        collector_.nameDevice(element.attribute("creator").value());
    } else if (localName == "trk") {
        collector_.beginAnew();
        segments_ = 0;
    } else if (localName == "trkseg") {
        if (segments_++ > 0) collector_.stopUntilNextPoint();
    }
    return true;
}

void GpxSink::take(std::string_view localName, pugi::xml_node element, std::size_t byte) {
    if (localName == "trkpt") return collector_.addPoint(element, byte);
    // The type of a link is another thing; some writers give a number that only they know.
    const std::string_view type = element.child_value();
    if (localName == "type" && xml::localName(element.parent().name()) == "trk" && !type.empty() &&
        (type[0] < '0' || type[0] > '9'))
        collector_.nameSport(type);
}

}  // namespace beatwitness::recording::xml
