#pragma once

#include <QWidget>
#include <optional>

#include "core/flags/flag.h"

class QHBoxLayout;
class QLabel;
class QScrollArea;
class QSplitter;
class QStackedWidget;

namespace beatwitness::widgets {
class PageTabs;
class TimelineView;
}  // namespace beatwitness::widgets

namespace beatwitness::app {

class ClockPanel;
class Document;
class FlagsPanel;
class PhasesPanel;
class PinsPanel;
class PlayBar;
class Player;
class ParticularsPanel;
class ReadoutPanel;

/// The session as it went: one timeline, the flag at hand in words, and beside them what belongs to the
/// cursor, the clock, the flags and the files.
class SessionPage : public QWidget {
    Q_OBJECT

public:
    explicit SessionPage(Document& document, QWidget* parent = nullptr);

    [[nodiscard]] widgets::TimelineView& timeline() { return *timeline_; }
    [[nodiscard]] ClockPanel& clockPanel() { return *clock_; }
    [[nodiscard]] FlagsPanel& flagsPanel() { return *flags_; }
    [[nodiscard]] PhasesPanel& phasesPanel() { return *phases_; }
    [[nodiscard]] PinsPanel& pinsPanel() { return *pins_; }
    [[nodiscard]] Player& player() { return *player_; }
    [[nodiscard]] PlayBar& playBar() { return *playBar_; }
    [[nodiscard]] QSplitter& splitter() { return *splitter_; }
    /// What F6 steps through, in order.
    [[nodiscard]] QList<QWidget*> panes() const;
    /// A second side beside the review, behind a tab of its own.
    void addParticulars(ParticularsPanel* particulars);
    void showParticulars();
    void setSideShown(bool shown);
    /// Buttons under the words about the flag at hand.
    void setFlagActions(const QList<QAction*>& actions);

signals:
    void cursorMoved(std::optional<double> seconds);

protected:
    void resizeEvent(QResizeEvent* event) override;

private:
    QWidget* makeMiddle();
    QWidget* makeSide();
    void connectDocument();
    void connectMarks();
    void connectSelection();
    void showSession();
    void showMarks();
    void explain(const flags::Flag* flag, int index, int count);
    void goTo(const flags::Flag& flag);

    Document& document_;
    bool otherRecordings_ = false;  ///< since the session was last shown
    widgets::TimelineView* timeline_;
    QWidget* explanation_ = nullptr;
    QLabel* explanationText_ = nullptr;
    QHBoxLayout* flagButtons_ = nullptr;
    ReadoutPanel* readout_;
    ClockPanel* clock_;
    FlagsPanel* flags_;
    PhasesPanel* phases_;
    PinsPanel* pins_;
    Player* player_;
    PlayBar* playBar_ = nullptr;
    QScrollArea* side_ = nullptr;
    widgets::PageTabs* sideTabs_ = nullptr;
    QStackedWidget* sides_ = nullptr;
    ParticularsPanel* particulars_ = nullptr;
    QSplitter* splitter_ = nullptr;
};

}  // namespace beatwitness::app
