#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/recording/fit_field.h"

namespace beatwitness::recording {

/// The messages that a recording is made of. Numbers, units and scales: the open FIT profile.
///
///     message         number   fields taken (number, unit as stored)
///     file_id         0        type 0, manufacturer 1, product 2, serial_number 3, product_name 8
///     sport           12       sport 0, sub_sport 1, name 3
///     session         18       sport 5, sub_sport 6
///     lap             19       start_time 2, total_elapsed_time 7 (1/1000 s)
///     record          20       altitude 2 and 78 (1/5 m + 500 m), heart_rate 3 (bpm), cadence 4 (1/min),
///                              distance 5 (1/100 m), speed 6 and 73 (1/1000 m/s), power 7 (W),
///                              fractional_cadence 53 (1/128 1/min)
///     event           21       event 0, event_type 1
///     device_info     23       device_index 0, manufacturer 2, serial_number 3, product 4,
///                              software_version 5 (1/100), product_name 27
///     activity        34       local_timestamp 5
///     file_creator    49       software_version 0
///     hrv             78       time 0 (1/1000 s each)
///     hr              132      fractional_timestamp 0 (1/32768 s), time256 1 (1/256 s), filtered_bpm 6,
///                              event_timestamp 9 (1/1024 s), event_timestamp_12 10 (1/1024 s, 12 bits each)
///
/// Every message may carry timestamp 253 (seconds since 1989-12-31T00:00:00Z).
enum class FitMessage : std::uint8_t {
    Other,
    FileId,
    FileCreator,
    Sport,
    Session,
    Lap,
    Record,
    Event,
    DeviceInfo,
    Activity,
    HeartBeats,
    HeartRates,
};

/// Places of the fields in a plan. Each message counts its own from 1; 0 is the timestamp everywhere.
namespace fit_slot {
inline constexpr std::size_t timestamp = 0;
inline constexpr std::size_t heartRate = 1, cadence = 2, fractionalCadence = 3, power = 4, speed = 5,
                             enhancedSpeed = 6, altitude = 7, enhancedAltitude = 8, distance = 9;
inline constexpr std::size_t manufacturer = 1, product = 2, productName = 3, fileType = 4, deviceIndex = 4,
                             serialNumber = 5, softwareVersion = 6;
inline constexpr std::size_t creatorSoftware = 1;
inline constexpr std::size_t sport = 1, subSport = 2, sportName = 3;
inline constexpr std::size_t lapStart = 1, lapElapsed = 2;
inline constexpr std::size_t event = 1, eventType = 2;
inline constexpr std::size_t localTimestamp = 1;
inline constexpr std::size_t beatIntervals = 1;
inline constexpr std::size_t fraction32768 = 1, fraction256 = 2, filteredRate = 3, eventTime = 4,
                             eventTime12 = 5;
inline constexpr std::size_t count = 10;
}  // namespace fit_slot

/// One field as a definition message lists it.
struct FitFieldDefinition {
    std::uint8_t number = 0;
    std::uint8_t size = 0;  ///< bytes
    std::uint8_t baseType = 0;
};

/// What a definition message comes down to: which bytes of the data messages that follow are copied where.
struct FitPlan {
    FitMessage message = FitMessage::Other;
    std::uint32_t size = 0;  ///< bytes of a data message without its header byte, developer fields included
    std::array<FitField, fit_slot::count> fields{};

    [[nodiscard]] const FitField& operator[](std::size_t slot) const { return fields[slot]; }
};

/// The plan for global message `number`. Fields whose size is no multiple of their element's, or whose base
/// type is unknown, are stepped over; of a number that comes twice the first stands. Developer fields stand
/// behind the native ones and are only stepped over, so that none can pass for a native one.
[[nodiscard]] FitPlan planMessage(std::uint16_t number, bool bigEndian,
                                  std::span<const FitFieldDefinition> fields, std::uint32_t developerBytes);

}  // namespace beatwitness::recording
