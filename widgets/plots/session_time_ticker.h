#pragma once

#include <qcustomplot.h>

namespace beatwitness::widgets {

/// Ticks of session time at whole seconds, minutes and hours, as many as fit.
class SessionTimeTicker : public QCPAxisTicker {
public:
    /// Room for the labels: pixels along the axis, and how wide one label with its gap is.
    void setRoom(double axisLength, double labelWidth);

protected:
    double getTickStep(const QCPRange& range) override;
    int getSubTickCount(double step) override;
    QString getTickLabel(double tick, const QLocale& locale, QChar formatChar, int precision) override;

private:
    double labels_ = 6.0;
};

/// Ticks of bpm at round numbers, signed where they are errors.
class BpmTicker : public QCPAxisTicker {
public:
    enum class Sign { Plain, Always };
    explicit BpmTicker(Sign sign) : sign_(sign) {}
    void setRoom(double axisLength, double labelHeight);

protected:
    double getTickStep(const QCPRange& range) override;
    int getSubTickCount(double step) override;
    QString getTickLabel(double tick, const QLocale& locale, QChar formatChar, int precision) override;

private:
    Sign sign_;
    double labels_ = 5.0;
};

/// At most three ticks at round numbers of any size.
class ThreeTicker : public QCPAxisTicker {
protected:
    double getTickStep(const QCPRange& range) override;
    int getSubTickCount(double step) override;
    QString getTickLabel(double tick, const QLocale& locale, QChar formatChar, int precision) override;
};

}  // namespace beatwitness::widgets
