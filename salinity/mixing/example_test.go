package mixing_test

import (
	"fmt"

	"tidehold/salinity/mixing"
)

// 400 L of seawater in a room of 18 °C that lose 16 W/K, a 300 W heater stuck on.
func ExampleBody() {
	perLitre, err := mixing.LitreHeat(35, 25)
	if err != nil {
		fmt.Println(err)
		return
	}
	tank := mixing.Body{CapacityJK: 400 * perLitre, LossWK: 16, InputW: 300, RoomC: 18}
	end, _ := tank.Settles()
	hours, ok := tank.Course(26).HoursTo(30)
	fmt.Printf("%.2f MJ/K; heads for %.1f °C; at 30 °C after %.1f h (%v)\n", tank.CapacityJK/1e6, end, hours, ok)

	tank.InputW = 0 // the power fails
	hours, ok = tank.Course(26).HoursTo(22)
	fmt.Printf("off: at 22 °C after %.0f h (%v)\n", hours, ok)
	// Output:
	// 1.64 MJ/K; heads for 36.8 °C; at 30 °C after 13.2 h (true)
	// off: at 22 °C after 20 h (true)
}

// 30 L of new water at pH 8.3 into the 70 L that are left of a tank at pH 7.9.
func ExampleBlendPH() {
	tank := mixing.Buffered{Water: mixing.Water{Volume: 70, Salinity: 35, Temperature: 25}, PH: 7.9, AlkalinityMeqL: 2.93}
	fresh := mixing.Buffered{Water: mixing.Water{Volume: 30, Salinity: 35, Temperature: 25}, PH: 8.3, AlkalinityMeqL: 2.93}
	pH, err := mixing.BlendPH(tank, fresh)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("pH %.2f\n", pH)
	// Output: pH 8.04
}
