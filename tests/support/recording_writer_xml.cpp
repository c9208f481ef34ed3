#include <fmt/format.h>

#include <cmath>

#include "tests/support/recording_writer.h"
#include "tests/support/recording_writer_rows.h"

namespace beatwitness::tests {

namespace {

std::string tcxPoint(std::int64_t time_ms, const WrittenRow& row) {
    std::string text = "<Trackpoint><Time>" + instantText(time_ms) + "</Time>";
    if (row.altitude_m) text += fmt::format("<AltitudeMeters>{:.1f}</AltitudeMeters>", *row.altitude_m);
    if (row.distance_m) text += fmt::format("<DistanceMeters>{:.1f}</DistanceMeters>", *row.distance_m);
    if (row.rate_bpm)
        text += fmt::format("<HeartRateBpm><Value>{}</Value></HeartRateBpm>", std::lround(*row.rate_bpm));
    if (row.cadence_per_min) text += fmt::format("<Cadence>{}</Cadence>", std::lround(*row.cadence_per_min));
    return text + "</Trackpoint>\n";
}

/// Due north from where equator and prime meridian meet: no place where anybody walked.
std::string latitudeText(const WrittenRow& row) {
    constexpr double metresADegree = 111195.0;
    return row.distance_m ? fmt::format("{:.6f}", *row.distance_m / metresADegree) : "0";
}

/// Milliseconds at which laps begin, the first one at the first row.
std::vector<std::int64_t> lapStarts(const recording::Recording& recording, const WrittenRows& rows) {
    std::vector<std::int64_t> starts;
    for (const auto& lap : recording.laps)
        starts.push_back(nearestMillisecond(lap.span.begin));
    if (starts.empty() && !rows.empty()) starts.push_back(rows.begin()->first);
    return starts;
}

}  // namespace

std::string writeTcx(const recording::Recording& recording, std::span<const RecordingTime> emptyRows) {
    const auto rows = writtenRows(recording, emptyRows);
    const auto starts = lapStarts(recording, rows);
    std::string text =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<TrainingCenterDatabase><Activities><Activity Sport=\"Other\">\n";
    for (std::size_t i = 0; i < starts.size(); ++i) {
        const auto first = i == 0 ? rows.begin() : rows.lower_bound(starts[i]);
        const auto last = i + 1 < starts.size() ? rows.lower_bound(starts[i + 1]) : rows.end();
        text += "<Lap StartTime=\"" + instantText(starts[i]) + "\"><Track>\n";
        for (auto row = first; row != last; ++row)
            text += tcxPoint(row->first, row->second);
        text += "</Track></Lap>\n";
    }
    return text + "<Creator><Name>" + recording.device +
           "</Name></Creator></Activity></Activities></TrainingCenterDatabase>\n";
}

std::string writeGpx(const recording::Recording& recording, std::span<const RecordingTime> emptyRows) {
    std::string text =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"" + recording.device +
        "\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:tp=\"urn:track-point\"><trk><trkseg>\n";
    for (const auto& [time_ms, row] : writtenRows(recording, emptyRows)) {
        text += "<trkpt lat=\"" + latitudeText(row) + "\" lon=\"0\">";
        if (row.altitude_m) text += fmt::format("<ele>{:.1f}</ele>", *row.altitude_m);
        text += "<time>" + instantText(time_ms) + "</time><extensions><tp:TrackPointExtension>";
        if (row.rate_bpm) text += fmt::format("<tp:hr>{}</tp:hr>", std::lround(*row.rate_bpm));
        if (row.cadence_per_min)
            text += fmt::format("<tp:cad>{}</tp:cad>", std::lround(*row.cadence_per_min));
        text += "</tp:TrackPointExtension></extensions></trkpt>\n";
    }
    return text + "</trkseg></trk></gpx>\n";
}

}  // namespace beatwitness::tests
