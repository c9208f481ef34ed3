#include "core/library/recording_store.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <utility>

#include "core/foundation/version.h"
#include "core/library/library_file.h"
#include "core/recording/heart_rate_range.h"

namespace beatwitness::library {
namespace {

using recording::Channel;
using recording::ChannelKind;
using recording::ClockBasis;
using recording::Format;
using recording::Recording;

/// Level 3 packs a text recording to a tenth, at some 200 MB/s.
constexpr int originalLevel = 3;

constexpr std::array<std::pair<ClockBasis, std::string_view>, 3> clockNames{
    {{ClockBasis::Utc, "utc"}, {ClockBasis::ZoneUnknown, "zone-unknown"}, {ClockBasis::None, "none"}}};
constexpr std::array clockBases{ClockBasis::Utc, ClockBasis::ZoneUnknown, ClockBasis::None};
constexpr std::array formats{Format::Fit,  Format::Tcx, Format::Gpx, Format::Csv,
                             Format::Json, Format::Rr,  Format::Hrm};
constexpr std::array channelKinds{ChannelKind::HeartRate, ChannelKind::BeatInterval, ChannelKind::Cadence,
                                  ChannelKind::Power,     ChannelKind::Speed,        ChannelKind::Altitude,
                                  ChannelKind::Distance};

std::string_view clockName(ClockBasis clock) {
    return std::ranges::find(clockNames, clock, [](const auto& pair) { return pair.first; })->second;
}

/// Names of a newer program's kinds are damage here: the version of the layout would have said so.
template <class Kinds, class Name>
auto kindOf(Database& database, const Kinds& kinds, Name nameOf, const std::string& name) {
    const auto found = std::ranges::find_if(kinds, [&](auto kind) { return nameOf(kind) == name; });
    if (found != kinds.end()) return *found;
    database.fail(FaultCode::LibraryDamaged,
                  fmt::format("the library holds the unknown word \"{}\"; it is damaged", name));
    return kinds.front();
}

void insertChannels(Database& database, ColumnEncoder& columns, RecordingId id,
                    const std::vector<Channel>& channels) {
    std::int64_t ordinal = 0;
    for (const auto& channel : channels) {
        const auto times = columns.encode(std::span{channel.times});
        const auto values = columns.encode(std::span{channel.values});
        database.run(
            "INSERT INTO channel (recording_id, ordinal, kind, samples, times, \"values\") "
            "VALUES (?, ?, ?, ?, ?, ?)",
            id, ordinal++, recording::channelName(channel.kind),
            static_cast<std::int64_t>(channel.times.size()), std::span{times}, std::span{values});
    }
}

void insertLists(Database& database, RecordingId id, const Recording& recording) {
    std::int64_t ordinal = 0;
    for (const auto& lap : recording.laps)
        database.run("INSERT INTO recording_lap VALUES (?, ?, ?, ?, ?)", id, ordinal++,
                     lap.span.begin.time_since_epoch().count(), lap.span.end.time_since_epoch().count(),
                     lap.label);
    ordinal = 0;
    for (const auto& pause : recording.pauses)
        database.run("INSERT INTO recording_pause VALUES (?, ?, ?, ?)", id, ordinal++,
                     pause.begin.time_since_epoch().count(), pause.end.time_since_epoch().count());
    ordinal = 0;
    for (const auto& [what, guess] : recording.guessed)
        database.run("INSERT INTO recording_guess VALUES (?, ?, ?, ?)", id, ordinal++, what, guess);
    ordinal = 0;
    for (const auto& warning : recording.warnings)
        database.run("INSERT INTO recording_warning VALUES (?, ?, ?)", id, ordinal++, warning);
}

Span<RecordingClock> spanAt(const Statement& row, int column) {
    return {RecordingTime{Micros{row.integer(column)}}, RecordingTime{Micros{row.integer(column + 1)}}};
}

void loadChannels(Database& database, ColumnDecoder& columns, RecordingId id, Recording& recording) {
    auto rows = database.statement(
        "SELECT kind, samples, times, \"values\" FROM channel WHERE recording_id = ? ORDER BY ordinal", id);
    while (rows.step()) {
        auto times = columns.times(rows.blob(2));
        auto values = columns.values(rows.blob(3));
        const auto samples = static_cast<std::size_t>(rows.integer(1));
        if (!times || !values || times->size() != samples || values->size() != samples)
            return database.fail(
                FaultCode::LibraryDamaged,
                fmt::format("the stored samples ({}) of recording {} are damaged; its original "
                            "file may still be whole",
                            rows.text(0), id.value));
        recording.channels.push_back({kindOf(database, channelKinds, recording::channelName, rows.text(0)),
                                      std::move(*times), std::move(*values)});
    }
}

void loadLists(Database& database, RecordingId id, Recording& recording) {
    auto laps = database.statement(
        "SELECT begin_us, end_us, label FROM recording_lap WHERE recording_id = ? ORDER BY ordinal", id);
    while (laps.step())
        recording.laps.push_back({spanAt(laps, 0), laps.text(2)});
    auto pauses = database.statement(
        "SELECT begin_us, end_us FROM recording_pause WHERE recording_id = ? ORDER BY ordinal", id);
    while (pauses.step())
        recording.pauses.push_back(spanAt(pauses, 0));
    auto guesses = database.statement(
        "SELECT what, guess FROM recording_guess WHERE recording_id = ? ORDER BY ordinal", id);
    while (guesses.step())
        recording.guessed.emplace_back(guesses.text(0), guesses.text(1));
    auto warnings = database.statement(
        "SELECT sentence FROM recording_warning WHERE recording_id = ? ORDER BY ordinal", id);
    while (warnings.step())
        recording.warnings.push_back(warnings.text(0));
}

bool sameSamples(const Recording& a, const Recording& b) {
    return a.clock == b.clock && a.rows == b.rows &&
           std::ranges::equal(a.channels, b.channels, [](const Channel& left, const Channel& right) {
               return left.kind == right.kind && left.times == right.times && left.values == right.values;
           });
}

using MaybeSpan = std::optional<Span<RecordingClock>>;

/// First to last valid heart rate.
MaybeSpan spanOf(const Recording& recording) {
    MaybeSpan span;
    const auto* rates = recording.channel(recording::ChannelKind::HeartRate);
    for (std::size_t i = 0; rates && i < rates->times.size(); ++i) {
        if (!recording::isValidHeartRate(rates->values[i])) continue;
        const auto time = rates->times[i];
        span = span ? Span<RecordingClock>{std::min(span->begin, time), std::max(span->end, time)}
                    : Span<RecordingClock>{time, time};
    }
    return span;
}

std::optional<std::int64_t> beginOf(const MaybeSpan& span) {
    return span ? std::optional{std::int64_t{span->begin.time_since_epoch().count()}} : std::nullopt;
}

std::optional<std::int64_t> endOf(const MaybeSpan& span) {
    return span ? std::optional{std::int64_t{span->end.time_since_epoch().count()}} : std::nullopt;
}

bool isInUse(Database& database, RecordingId id) {
    return database
        .number(
            "SELECT 1 FROM wearing_recording u JOIN wearing w ON w.id = u.wearing_id "
            "JOIN session s ON s.id = w.session_id WHERE u.recording_id = ? AND w.deleted_at_us IS NULL "
            "AND s.deleted_at_us IS NULL LIMIT 1",
            id)
        .has_value();
}

void removeReading(Database& database, RecordingId id) {
    for (const auto* sql :
         {"DELETE FROM channel WHERE recording_id = ?", "DELETE FROM recording_lap WHERE recording_id = ?",
          "DELETE FROM recording_pause WHERE recording_id = ?",
          "DELETE FROM recording_guess WHERE recording_id = ?",
          "DELETE FROM recording_warning WHERE recording_id = ?"})
        database.run(sql, id);
}

}  // namespace

bool takeReading(Database& database, RecordingWriter& writer, RecordingId id, const ReadFile& file) {
    const Recording& recording = file.read.recording;
    ColumnDecoder columns;
    const auto stored = loadRecordingRow(database, columns, id);
    if (!stored || sameSamples(stored->recording, recording)) return true;
    if (isInUse(database, id)) return false;
    removeReading(database, id);
    const auto span = spanOf(recording);
    database.run(
        "UPDATE recording SET format = ?, clock = ?, device = ?, row_count = ?, artefact_pct = ?, "
        "read_by = ?, serial = ?, firmware = ?, sport = ?, begin_us = ?, end_us = ? WHERE id = ?",
        recording::formatName(recording.format), clockName(recording.clock), recording.device,
        static_cast<std::int64_t>(recording.rows), recording.artefactShare_pct, programVersion(),
        recording.serial, recording.firmware, recording.sport, beginOf(span), endOf(span), id);
    insertChannels(database, writer.columns, id, recording.channels);
    insertLists(database, id, recording);
    return true;
}

std::optional<RecordingId> findRecording(Database& database, std::string_view sha256) {
    const auto found = database.number("SELECT id FROM recording WHERE sha256 = ?", sha256);
    return found ? std::optional{RecordingId{*found}} : std::nullopt;
}

RecordingId insertRecording(Database& database, RecordingWriter& writer, const ReadFile& file) {
    const Recording& recording = file.read.recording;
    const auto span = spanOf(recording);
    database.run(
        "INSERT INTO recording (sha256, file, format, clock, device, row_count, artefact_pct, read_by, "
        "added_at_us, serial, firmware, sport, begin_us, end_us) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        file.read.sha256, file.read.file, recording::formatName(recording.format), clockName(recording.clock),
        recording.device, static_cast<std::int64_t>(recording.rows), recording.artefactShare_pct,
        programVersion(), now().count(), recording.serial, recording.firmware, recording.sport, beginOf(span),
        endOf(span));
    const RecordingId id{database.lastInsertId()};
    const auto packed = writer.originals.pack(file.bytes, originalLevel);
    database.run("INSERT INTO original (recording_id, size, bytes) VALUES (?, ?, ?)", id,
                 static_cast<std::int64_t>(file.bytes.size()), std::span{packed});
    insertChannels(database, writer.columns, id, recording.channels);
    insertLists(database, id, recording);
    return id;
}

std::optional<recording::RecordingFile> loadRecordingRow(Database& database, ColumnDecoder& columns,
                                                         RecordingId id) {
    recording::RecordingFile file;
    {
        auto row = database.statement(
            "SELECT sha256, file, format, clock, device, row_count, artefact_pct, serial, firmware, sport "
            "FROM recording WHERE id = ?",
            id);
        if (!row.step()) return std::nullopt;
        file.sha256 = row.text(0);
        file.file = row.text(1);
        file.recording.format = kindOf(database, formats, recording::formatName, row.text(2));
        file.recording.clock = kindOf(database, clockBases, clockName, row.text(3));
        file.recording.device = row.text(4);
        file.recording.rows = static_cast<std::size_t>(row.integer(5));
        file.recording.artefactShare_pct = row.maybeReal(6);
        file.recording.serial = row.text(7);
        file.recording.firmware = row.text(8);
        file.recording.sport = row.text(9);
    }
    loadChannels(database, columns, id, file.recording);
    loadLists(database, id, file.recording);
    if (database.failed()) return std::nullopt;
    return file;
}

std::vector<StoredFile> storedFiles(Database& database, ColumnDecoder& columns) {
    std::vector<StoredFile> files;
    std::vector<std::size_t> withoutSpan;
    {
        auto row = database.statement(
            "SELECT id, sha256, file, clock, device, serial, firmware, sport, begin_us, end_us FROM "
            "recording "
            "ORDER BY id");
        while (row.step()) {
            StoredFile file{row.id<RecordingId>(0),
                            row.text(1),
                            row.text(2),
                            {},
                            row.text(4),
                            row.text(5),
                            row.text(6),
                            row.text(7),
                            std::nullopt};
            file.clock = kindOf(database, clockBases, clockName, row.text(3));
            if (row.isNull(8))
                withoutSpan.push_back(files.size());
            else
                file.span = spanAt(row, 8);
            files.push_back(std::move(file));
        }
    }
    for (const std::size_t i : withoutSpan)
        if (const auto loaded = loadRecordingRow(database, columns, files[i].id))
            files[i].span = spanOf(loaded->recording);
    return files;
}

std::optional<std::vector<std::byte>> loadOriginal(Database& database, RecordingId id) {
    auto row = database.statement("SELECT size, bytes FROM original WHERE recording_id = ?", id);
    if (!row.step()) return std::nullopt;
    auto bytes = FrameUnpacker{}.unpack(row.blob(1));
    if (bytes && static_cast<std::int64_t>(bytes->size()) == row.integer(0)) return bytes;
    database.fail(FaultCode::LibraryDamaged,
                  fmt::format("the stored original of recording {} is damaged", id.value));
    return std::nullopt;
}

}  // namespace beatwitness::library
